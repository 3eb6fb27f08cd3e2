import { glossaryOf } from '@soakline/drawing'
import { useDesk } from './with-sheet.js'

/** The words of the trade that the sheet uses, each with its meaning. */
export function Glossary() {
  const { voice } = useDesk()
  return (
    <dl>
      {glossaryOf(voice).map(([word, meaning]) => (
        <div key={word}>
          <dt>{word}</dt>
          <dd>{meaning}</dd>
        </div>
      ))}
    </dl>
  )
}
