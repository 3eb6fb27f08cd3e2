import { sayAnswers, sayFinding, summaryText } from '@soakline/drawing'
import type { Assessment } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, fullFinding, hillside } from './hillside.js'

describe('findings, written by hand', () => {
  test('a storm that mostly passes through', () => {
    const finding = { ...fullFinding('storage/passes-through'), measured: 38, limit: 610 }
    expect(sayFinding(finding, EN)).toBe(
      'A storm with a chance of 1 in 25 each year, 118 mm in 24 hours, sends about 610 m³. The ditch keeps 38 m³ if it starts empty; the rest passes over the sill: this is mainly an outlet with a ditch attached.',
    )
    expect(sayFinding(finding, ES_US)).toBe(
      'Un aguacero con probabilidad de 1 entre 25 cada año, 4,6 pulg en 24 horas, manda unos 160.000 galones. La zanja guarda 10.000 galones si empieza vacía; lo demás pasa por el vertedero: es más que nada un desagüe con una zanja al lado.',
    )
  })

  test('no-go ground: the reasons are said, not coded', () => {
    expect(sayFinding(fullFinding('no-go/on-line'), EN)).toBe(
      '12 m of the line lie where no swale should go, from 20 m to 32 m along it: existing forest and too steep.',
    )
    expect(sayFinding(fullFinding('no-go/on-line'), ES)).toBe(
      '12 m de la línea caen donde no debe ir una zanja, entre los 20 m y los 32 m: bosque que ya está y demasiado empinado.',
    )
  })

  test('what is near a building', () => {
    expect(sayFinding(fullFinding('overflow/near-building'), EN)).toBe(
      'The overflow from 84 m along the line passes the barn at 7.5 m; less than 10 m asks for a closer look on site.',
    )
    expect(sayFinding(fullFinding('overflow/reaches-building'), EN_US)).toBe(
      'The overflow from 276 ft along the line runs into the barn. Do not build this spill.',
    )
  })

  test('a path above a floor is said to be above it, never a negative height below', () => {
    const finding = { ...fullFinding('overflow/not-high-enough'), measured: -3.38 }
    expect(sayFinding(finding, EN_US)).toContain('runs 11.1 ft above the floor of the barn')
    expect(sayFinding(finding, ES)).toContain('corre 3,38 m más arriba que el piso de the barn')
    expect(sayFinding({ ...finding, measured: 0.2 }, EN)).toContain('runs only 0.2 m below the floor of the barn')
  })

  test('"at least" where the data ends', () => {
    expect(sayFinding(fullFinding('catchment/cut-by-edge'), EN)).toBe(
      'The height data ends before the ridge. At least 1.8 ha drain into this line; it may be much more.',
    )
  })
})

describe('the three answers', () => {
  test('ridge, spill, building', () => {
    const answers = sayAnswers(hillside().assessment, EN)
    expect(answers.map(a => [a.question, a.verdict])).toEqual([
      ['ridge', 'holds'],
      ['spill', 'watch'],
      ['building', 'watch'],
    ])
    expect(answers[0]!.text).toBe(
      '1.0 ha drain into this line. The water comes from the north; the high point of the ridge stands 20 m above the bed, 130 m away.',
    )
    expect(answers[1]!.text).toContain('the west end is the better place to spill: the overflow runs 48 m and ends in the forest.')
    expect(answers[2]!.text).toContain(
      'From the east end the overflow runs 64 m and ends in the stream. It passes Barn at 7.5 m, 0.4 m below its floor.',
    )
  })

  test('a catchment cut by the edge is at least so large, and asks for more data', () => {
    const [ridge] = sayAnswers(hillside({ cut: true }).assessment, ES)
    expect(ridge!.verdict).toBe('unknown')
    expect(ridge!.text).toMatch(/^Por lo menos 1,0 ha escurren hacia esta línea\./)
    expect(ridge!.text).toContain('traiga datos que lleguen hasta él')
  })

  test('a wide range of the catchment is said with the ridge', () => {
    const { assessment } = hillside()
    const wide = {
      ...fullFinding('catchment/wide-range'),
      check: 'catchment-complete' as const,
      details: { low_m2: 4000, high_m2: 12_000 },
    }
    expect(sayAnswers({ ...assessment, findings: [wide] }, EN)[0]!.text).toContain(
      'anything from 4,000 m² to 1.2 ha may drain into this line',
    )
  })

  test('a spill that reaches a building fails, and is named', () => {
    const { assessment } = hillside()
    const reaching: Assessment = {
      ...assessment,
      spills: assessment.spills.map(s => ({
        ...s,
        reasons: ['reaches-building'],
        path: { ...s.path, reachesBuilding: true, nearestBuilding_m: 0 },
      })),
      findings: [{ ...fullFinding('overflow/reaches-building'), check: 'overflow-misses-buildings', verdict: 'fails' }],
    }
    const [, spill, building] = sayAnswers(reaching, EN)
    expect(spill!.verdict).toBe('fails')
    expect(spill!.text).toMatch(/^Neither end is a good place to spill\./)
    expect(building!.verdict).toBe('fails')
    expect(building!.text).toContain('It reaches Barn.')
  })

  test('what is not known about buildings is said after the traced ways', () => {
    const { assessment } = hillside()
    const unsure: Assessment = {
      ...assessment,
      findings: [{ ...fullFinding('overflow/buildings-not-confirmed'), check: 'overflow-misses-buildings', verdict: 'unknown' }],
    }
    const building = sayAnswers(unsure, EN)[2]!
    expect(building.verdict).toBe('unknown')
    expect(building.text).toMatch(/Unknown: nobody has said that every building down to the stream is drawn/)
  })

  test('a check that was not made is unknown', () => {
    const answers = sayAnswers({ ...hillside().assessment, findings: [] }, EN)
    expect(answers.map(a => a.verdict)).toEqual(['unknown', 'watch', 'unknown'])
  })

  test('no spill at all is a failure, not a blank', () => {
    const answers = sayAnswers({ ...hillside().assessment, spills: [] }, EN)
    expect(answers[1]!.verdict).toBe('fails')
    expect(answers[1]!.text).toBe('No place to spill was found. No acceptable outlet, no swale.')
  })

  test('water newly led over the boundary fails as a place to spill', () => {
    const { assessment } = hillside()
    const over: Assessment = { ...assessment, spills: assessment.spills.map(s => ({ ...s, path: { ...s.path, endsIn: 'boundary' } })) }
    expect(sayAnswers(over, EN)[1]!.verdict).toBe('fails')
  })

  test('a far building is named with its distance alone', () => {
    const { assessment } = hillside()
    const far: Assessment = { ...assessment, spills: assessment.spills.map(s => ({ ...s, path: { ...s.path, nearestBuilding_m: 204 } })) }
    expect(sayAnswers(far, EN)[2]!.text).toContain('The nearest building that was drawn is Barn, 204 m off.')
  })

  test('stretches with gaps between them are said to be stretches', () => {
    const finding = { ...fullFinding('no-go/on-line'), details: { reasons: 'slip', length_m: 44, from_m: 0, to_m: 88 } }
    expect(sayFinding(finding, EN)).toBe(
      '44 m of the line lie where no swale should go, in stretches from 0 m to 88 m along it: an old slip.',
    )
  })

  test('a flow above a floor is said to be above it', () => {
    const { assessment } = hillside()
    const above: Assessment = {
      ...assessment,
      spills: assessment.spills.map(s => ({ ...s, path: { ...s.path, heightBelowFloor_m: -0.6 } })),
    }
    expect(sayAnswers(above, EN)[2]!.text).toContain('0.6 m above its floor')
  })
})

test('the summary for a terminal is short and names the worst verdict', () => {
  for (const voice of [EN, ES]) {
    const lines = summaryText(hillside().assessment, voice)
    expect(lines.length).toBeLessThanOrEqual(22)
    expect(lines.join('\n')).not.toMatch(/undefined|NaN|null/)
  }
  expect(summaryText(hillside().assessment, EN)).toContain('Worst of all checks: fails.')
})

test('without rain and without a section the summary says what is unknown', () => {
  const lines = summaryText({ ...hillside().assessment, storms: [], storage: null, section: null, earth: null }, EN).join('\n')
  expect(lines).toContain('No rain table was given: what a storm sends is unknown.')
  expect(lines).toContain('what it would hold is unknown')
})
