import type { Check, Verdict } from 'soakline/foundation'
import type { NotLookedAt, Settings } from 'soakline/plan'
import type { FeatureKind, NoGoReason, PathEnd } from 'soakline/siting'
import type { Facts } from './facts.js'
import type { Measures } from './measures.js'
import { type Say, sayings, texts } from './templates.js'
import { FILE_REMARKS } from './words-of-files.js'
import { LIMIT_FINDINGS, LIMIT_NEXT, LIMIT_REMARKS } from './words-of-limits.js'
import { OPEN_GROUND_REMARKS } from './words-of-open-ground.js'
import { RAIN_REMARKS } from './words-of-rain.js'
import { SITING_FINDINGS, SITING_NEXT, SPILL_REASON_WORDS } from './words-of-siting.js'
import { SOIL_FINDINGS, SOIL_NEXT } from './words-of-soil.js'

const storm = (f: Facts, m: Measures): string => {
  const chance = f.number('chancePerYear')
  const rain = f.number('rain_mm')
  const hours = f.number('duration_h')
  const named = chance === null ? 'The storm that this plan is judged by' : `A storm with a chance of ${m.chance(chance)}`
  return rain === null || hours === null ? named : `${named}, ${m.depth(rain)} in ${m.duration(hours)},`
}
const building = (f: Facts): string => f.text('name') ?? 'a building'
const from = (f: Facts, m: Measures): string => {
  const at = f.number('chainage_m') ?? f.chainage_m
  return at === null ? 'The overflow' : `The overflow from ${m.length(at)} along the line`
}

/** Everything that Soakline says, in English. Spanish has the same keys, or does not compile. */
export const english = {
  verdict: { holds: 'within limits', watch: 'watch', fails: 'fails', unknown: 'unknown' } satisfies Record<Verdict, string>,

  check: {
    'ground-fit': 'Is the height data good enough?',
    'permissions-asked': 'May I dig here?',
    'line-off-no-go': 'Is the line off ground where no swale should go?',
    'cautions-on-line': 'Should somebody who judges slopes look first?',
    'line-across-flow': 'Does the line cross a place where water gathers?',
    'soil-soaks': 'Will the soil take the water?',
    'catchment-complete': 'Is all the ground that drains here in the data?',
    'storage-holds-storm': 'How much of a storm does the ditch keep?',
    'spill-carries-peak': 'Is the sill long enough for the storm?',
    freeboard: 'Does the berm stay above the water all along?',
    'exit-holds': 'Does the ground below the spill stand the flow?',
    'water-against-fill': 'How deep does water stand against loose soil?',
    'local-limits': 'Is the bank under the local limits?',
    'spill-place': 'Is there a place where it may spill?',
    'overflow-misses-buildings': 'Will the overflow reach a building?',
    'overflow-stays-on-holding': 'Does the overflow stay on your land?',
    'breach-misses-buildings': 'If the berm gives way, what lies below?',
  } satisfies Record<Check, string>,

  because: {
    'ground/fine-enough': (f, m) =>
      `One cell of the height data is ${m.length(f.number('cell_m') ?? f.measured)} wide, small enough to show a ditch with a bed of ${m.length(f.number('bedWidth_m'))}. Mark the line from this plan; set the levels with an instrument.`,
    'ground/coarse': (f, m) =>
      `Rough plan: one cell of the height data is ${m.length(f.number('cell_m') ?? f.measured)} wide, more than a third of the bed of ${m.length(f.number('bedWidth_m'))}. Use it to choose the place; set the levels with an instrument.`,
    'ground/too-coarse': (f, m) =>
      `One cell of the height data is ${m.length(f.number('cell_m') ?? f.measured)} wide. It cannot show a ditch with a bed of ${m.length(f.number('bedWidth_m'))}: neither the line nor its levels can be trusted.`,
    'ground/error-unknown': () =>
      'Unknown: nobody has said how far the heights in this data may be off. What hangs on small heights cannot be trusted until that is known.',
    'ground/surface-model': () =>
      'The raster seems to show treetops and roofs, not the ground. It may choose a place; no level and no stake can be taken from it.',
    'ground/steps-too-large': (f, m) =>
      `The heights come in steps of ${m.height(f.measured)}, more than a quarter of the berm. They cannot show it: take no level and no stake from this plan.`,
    'ground/slope-too-gentle': (f, m) =>
      `On this gentle slope the error of the heights moves a level line by ${m.length(f.measured)}; half the spacing of lines is ${m.length(f.limit)}. The data is too coarse for this slope: set the line with an instrument.`,
    'catchment/much-filled': (f, m) =>
      `${m.slope(f.measured)} of the catchment lies in hollows that had to be filled. ${f.number('heldArea_m2') === null ? 'Whether they fill and run over, or hold their water, changes the answer' : `If they run over, ${m.area(f.number('area_m2'))} drain in; if they hold their water, ${m.area(f.number('heldArea_m2'))}`}: choose for each under Ground.`,
    'limits/no-ditch': () => 'Unknown: without a ditch that can be dug there is no bank to compare.',
    'limits/not-looked-up': () => 'Unknown: nobody has said from which height or volume the local rules ask for a licensed engineer.',
    'limits/under': (f, m) =>
      `The bank stands ${m.height(f.measured)} above its foot on the ditch side; the local rules ask for an engineer from ${m.height(f.limit)}.`,
    'limits/too-high': (f, m) =>
      `The bank would stand ${m.height(f.measured)} high. From ${m.height(f.limit)} the local rules ask for a licensed engineer: stop at the idea.`,
    'limits/too-much': (f, m) =>
      `The ditch could hold ${m.volume(f.measured)}. From ${m.volume(f.limit)} the local rules ask for a licensed engineer: stop at the idea.`,
    'permissions/refused': () =>
      'One of the questions about streams, wet ground, permits, buried lines or neighbors was answered with a refusal.',
    'permissions/answered': () =>
      'The questions about streams, wet ground, permits, buried lines and neighbors are marked as answered. Soakline has not seen the answers.',
    'permissions/not-answered': () =>
      'Unknown: the questions about streams, wet ground, permits, buried lines and neighbors are not answered yet. They come before any digging.',
    'no-go/none-found': () => 'No reason found against this place in what was drawn. What was not drawn was not looked at.',
    'no-go/on-line': (f, m) => {
      const [begin, end, length] = [f.number('from_m'), f.number('to_m'), f.number('length_m') ?? f.measured]
      const broken = begin !== null && end !== null && length !== null && end - begin > 1.05 * length
      const stretch =
        begin === null || end === null ? '' : `, ${broken ? 'in stretches ' : ''}from ${m.length(begin)} to ${m.length(end)} along it`
      return `${m.length(length)} of the line lie where no swale should go${stretch}: ${f.text('reasons') ?? 'the reason is not given'}.`
    },
    'no-go/features-missing': () =>
      'Unknown: no buildings, forest, wet ground, streams or boundaries were drawn, so no place could be ruled out by them.',
    'catchment/complete': (f, m) =>
      `The height data reaches past the ridge all around: ${m.area(f.number('area_m2'))} drain into this line.`,
    'catchment/cut-by-edge': (f, m) =>
      `The height data ends before the ridge. At least ${m.area(f.number('area_m2'))} drain into this line; it may be much more.`,
    'catchment/uncertain-outline': (f, m) =>
      `Counted cell by cell, ${m.area(f.number('area_m2'))} drain into this line; the drawn outline holds ${m.area(f.number('polygonArea_m2'))}. Water spreads out up there, so take the outline as a sketch.`,
    'catchment/in-hollow': () =>
      'Part of the line lies in a hollow that fills up before its water moves on. That water is not counted as caught by the ditch.',
    'ground/ask-professional': (f, m) =>
      `${m.length(f.number('length_m') ?? f.measured)} of the line lie on ground where a professional should be asked, or the place looked at, first: ${f.text('reasons') ?? 'the reason is not given'}.`,
    'ground/soil-not-looked-at': () =>
      'Unknown: no steep or wet place was found on the line, but nobody has said whether the soil is clay or loose slope soil.',
    'ground/no-caution-found': () =>
      'No reason to ask a professional was found on the line. That says nothing about what was not looked at: the soil was not tested.',
    'flow/no-water': () => 'Unknown: no water was found that drains into this line.',
    'flow/concentrated': (f, m) =>
      `${m.slope(f.measured)} of the line’s water arrives in one place${f.chainage_m === null ? '' : `, ${m.length(f.chainage_m)} along it`}. Across such a place a ditch with its berm is a dam in a gully.`,
    'flow/spread-out': (f, m) =>
      `The water arrives spread out: no place takes more than ${m.slope(f.measured)} of it. Over ${m.slope(f.limit)} asks to watch.`,
    'soil/soaks': (f, m) =>
      `The full ditch soaks empty in about ${m.duration(f.measured)}; within ${m.duration(f.limit)} is asked. Half of the slowest test was counted, and the bed alone.`,
    'soil/by-texture-only': (f, m) =>
      `By the lowest rate that is published for this kind of soil the full ditch soaks empty in about ${m.duration(f.measured)}; within ${m.duration(f.limit)} is asked. Published rates differ tenfold, so this is a guess until you test: ${m.count(f.number('fewestTests'))} tests are asked.`,
    'soil/too-slow': (f, m) =>
      `The full ditch would stand for ${m.duration(f.measured)}; within ${m.duration(f.limit)} is asked. This soil will not take the water before the next storm: lead it away, or do not dig.`,
    'soil/takes-no-water': () => 'The soil took no water in the test. A ditch here would stand full: lead the water away, or do not dig.',
    'soil/no-ditch': () => 'Unknown: without a ditch that can be dug nobody can say how long it would stand full.',
    'soil/no-pits': () =>
      'Unknown: no test pits are recorded, so nobody can say how fast this soil takes water, how deep the water table lies, or whether the ditch would stay full for days.',
    'storage/holds': (f, m) =>
      `${storm(f, m)} sends about ${m.volume(f.limit)}. The ditch has room for ${m.volume(f.measured)} up to its sill when it starts empty. It needs its spill all the same: a ditch that is still full keeps nothing.`,
    'storage/passes-through': (f, m) =>
      `${storm(f, m)} sends about ${m.volume(f.limit)}. The ditch keeps ${m.volume(f.number('kept_m3') ?? f.measured)} if it starts empty; the rest passes over the sill: this is mainly an outlet with a ditch attached.`,
    'storage/bare-above': (f): string =>
      f.code('burned') === 'true'
        ? 'The slope above burned: it counts as bare soil, and ash and soil come with the water and fill the ditch.'
        : 'The slope above is bare: soil comes with its water and fills the ditch.',
    'storm/snow-or-frost': () =>
      'Unknown: water from melting snow or off frozen ground follows no rule that is used here; it may be more than any storm of the table sends.',
    'storage/no-rain-table': () => 'Unknown: there is no rain table for this place, so no storm could be set against the ditch.',
    'storage/no-texture': () => 'Unknown: the chosen way of working out runoff needs the soil’s texture, and nobody has felt it yet.',
    'spill/no-short-bursts': (f, m) =>
      `Unknown: the shortest burst in the rain table lasts ${f.measured === null ? 'longer than 15 minutes' : m.duration(f.measured / 60)}. How fast water comes hangs on bursts of 15 minutes or less, and is never taken from a day’s rain.`,
    'spill/catchment-cut': () =>
      'Unknown: the height data ends before the ridge, so more water may come than can be seen here. No spill can be sized on it.',
    'spill/long-enough': (f, m) =>
      `A sill ${m.length(f.measured)} long carries the storm with a chance of ${m.chance(f.number('chancePerYear'))}: ${m.length(f.limit)} is asked. The ditch counts as full, the soil as wet, the notch as blocked.`,
    'spill/too-short': (f, m) =>
      `The sill is set ${m.length(f.measured)} long. The storm with a chance of ${m.chance(f.number('chancePerYear'))} asks for ${m.length(f.limit)} when the ditch is full, the soil wet and the notch blocked.`,
    'spill/very-long': (f, m) =>
      `The storm asks for a sill ${m.length(f.limit)} long. That is more than is built in one piece; the water wants several spills, or a shorter line.`,
    'freeboard/peak-unknown': () => 'Unknown: while nobody can say how fast the water comes, the height of the berm above it is not known.',
    'freeboard/over-berm': (f, m) =>
      `In the storm with a chance of ${m.chance(f.number('chancePerYear'))} the water would run over the berm${f.chainage_m === null ? '' : ` at ${m.length(f.chainage_m)} along the line`}. A berm of loose soil that is run over is washed away.`,
    'freeboard/too-little': (f, m) =>
      `In the storm with a chance of ${m.chance(f.number('chancePerYear'))} the settled berm stands only ${m.height(f.measured)} above the water${f.chainage_m === null ? '' : ` at ${m.length(f.chainage_m)} along the line`}; ${m.height(f.limit)} is asked. Water piles up on its way to the spill.`,
    'freeboard/enough': (f, m) =>
      `In the storm with a chance of ${m.chance(f.number('chancePerYear'))} the settled berm stands at least ${m.height(f.measured)} above the water, all along; ${m.height(f.limit)} is asked.`,
    'exit/peak-unknown': () =>
      'Unknown: while nobody can say how fast the water comes, its speed on the ground below the spill is not known.',
    'exit/bare-holds': (f, m) =>
      `Below the sill the water runs ${m.height(f.number('depth_m'))} deep and ${m.speed(f.number('bare_ms'))} fast. Even bare soil of this kind stands ${m.speed(f.number('bareLimit_ms'))}.`,
    'exit/grass-first': (f, m) =>
      `On bare soil the water below the sill would run ${m.speed(f.number('bare_ms'))} fast, more than the ${m.speed(f.number('bareLimit_ms'))} that it stands. Grass once grown stands it.`,
    'exit/stone': (f, m) =>
      `Below the sill the water runs ${m.speed(f.number('grass_ms'))} fast, more than bare soil or grass stand on this slope. It has to run over stone.`,
    'exit/too-fast': () => 'Below the sill the water would run too fast for bare soil, for grass and for the stone that is set.',
    'storage/catchment-cut': () =>
      'Unknown: the height data ends before the ridge, so the water that a storm sends cannot be counted. It is more than what can be seen here.',
    'storage/cannot-be-dug': () =>
      'Unknown: a ditch of this shape cannot be dug on this slope, so it has no storage that could be counted.',
    'storage/storm-outside-table': (f, m) =>
      `Unknown: the rain table does not reach a storm of ${m.duration(f.number('duration_h'))} with a chance of ${m.chance(f.number('chancePerYear'))}.`,
    'fill/shallow': (f, m) =>
      `Filled to the sill, water stands at most ${m.height(f.measured)} deep against loose soil; over ${m.height(f.limit)} asks to watch.`,
    'fill/deep': (f, m) =>
      `Filled to the sill, water stands ${m.height(f.measured)} deep against loose soil${f.chainage_m === null ? '' : ` at ${m.length(f.chainage_m)} along the line`}, more than ${m.height(f.limit)}. The store should lie in the cut, not behind the berm.`,
    'fill/too-deep': (f, m) =>
      `Filled to the sill, water would stand ${m.height(f.measured)} deep against loose soil${f.chainage_m === null ? '' : ` at ${m.length(f.chainage_m)} along the line`}, more than ${m.height(f.limit)}. That is a small dam of loose soil.`,
    'fill/not-known': () => 'Unknown: without a section that can be dug, nobody can say how deep water would stand against loose soil.',
    'storage/line-not-level': (f, m) =>
      `The ground along the drawn line goes up and down by ${m.height(f.measured)}. A level ditch of this depth can take ${m.height(f.limit)}, so it cannot follow the line and what it would hold is not known.`,
    'overflow/culvert-on-way': () =>
      'A bank lies across the way of the overflow, and there may be a pipe under it. The data cannot show where the water goes there.',
    'overflow/reaches-building': (f, m) =>
      (f.number('reached') ?? 0) === 0
        ? `${from(f, m)} runs into ${building(f)}. Do not build this spill.`
        : `${from(f, m)} came to ${building(f)} where the heights were tried with their error: in ${m.count(f.number('reached'))} of ${m.count(f.number('runs'))} tried terrains it came within ${m.length(f.number('clearance_m') ?? f.limit)} or reached it. Do not build this spill.`,
    'overflow/near-building': (f, m) =>
      `${from(f, m)} passes ${building(f)} at ${m.length(f.measured ?? f.number('distance_m'))}; less than ${m.length(f.limit ?? f.number('clearance_m'))} asks for a closer look on site.`,
    'overflow/not-high-enough': (f, m) =>
      (f.measured ?? 0) < 0
        ? `${from(f, m)} runs ${m.height(-f.measured!)} above the floor of ${building(f)}. If it leaves its way, it reaches it.`
        : `${from(f, m)} runs only ${m.height(f.measured)} below the floor of ${building(f)}. That is too little for the doubt in the heights.`,
    'overflow/misses': (f, m) => {
      const distance = f.number('distance_m') ?? f.measured
      return distance === null
        ? `${from(f, m)} was traced and meets no building that was drawn.`
        : `${from(f, m)} was traced and comes no closer than ${m.length(distance)} to ${f.text('name') ?? 'any building that was drawn'}.`
    },
    'overflow/buildings-not-confirmed': () =>
      'Unknown: nobody has said that every building down to the stream is drawn, the neighbors’ too. A building that is not drawn is not seen.',
    'overflow/leaves-raster': (f, m) => `${from(f, m)} runs off the edge of the height data. What it meets beyond is not known.`,
    'overflow/no-building-drawn': () =>
      'No building was drawn, and somebody said that all of them are drawn. So the overflow meets none; this rests on that word alone.',
    'overflow/no-ground': () => 'Unknown: the way of the overflow could not be traced from either end of the line.',
    'holding/stays': () => 'From the better end the overflow ends before it reaches the boundary as it was drawn.',
    'holding/crosses-boundary': () =>
      'From the better end the overflow runs over the property boundary. Water led onto a neighbor’s land that did not go there before is the neighbor’s to allow.',
    'holding/boundary-not-drawn': () => 'Unknown: no property boundary was drawn, so nobody can say whether the overflow leaves your land.',
    ...sayings(SOIL_FINDINGS, 'en'),
    ...sayings(SITING_FINDINGS, 'en'),
    ...sayings(LIMIT_FINDINGS, 'en'),
  } satisfies Record<string, Say>,

  next: {
    'ground/fine-enough': () => 'Walk the line and check the drawn levels at a few places with a water level or a laser.',
    'ground/coarse': () => 'Look for finer height data (half the bed’s width or better), or measure the line on site.',
    'ground/too-coarse': () => 'Find height data with cells of 1 m or less, or survey the place by hand before you decide anything.',
    'ground/error-unknown': () => 'Find the stated height error of the data, or measure some heights on site and compare.',
    'ground/surface-model': () => 'Look for a terrain model of bare ground.',
    'ground/steps-too-large': () => 'Look for height data in finer steps, or measure the line on site.',
    'ground/slope-too-gentle': () => 'Set the line out with a water level or a laser, and take heights on site.',
    'catchment/much-filled': () => 'Go and see whether the hollows are real, and choose for each what it does.',
    'limits/no-ditch': () => 'Settle the line and the shape of the ditch first, then check again.',
    'limits/not-looked-up': () => 'Ask the local authority from which height and volume it wants an engineer, and set both.',
    'limits/under': () => 'Keep the local rule with this plan.',
    'limits/too-high': () => 'Make the bank lower, or hand the work to a licensed engineer.',
    'limits/too-much': () => 'Make the ditch shorter or shallower, or hand the work to a licensed engineer.',
    'permissions/refused': () => 'Do not dig here. Ask what would be allowed.',
    'permissions/answered': () => 'Keep the answers in writing with this plan.',
    'permissions/not-answered': () =>
      'Ask the local authority, the utility locating service and the neighbors below. Then mark it as answered.',
    'no-go/none-found': () => 'Walk the line and look for what the map cannot show: wet spots, slips, old pipes, tracks.',
    'no-go/on-line': () => 'Move the line off that stretch, or end it before it.',
    'ground/ask-professional': () => 'Ask someone licensed to judge slopes before you dig, and look for cracks, leaning trees and seeps.',
    'ground/soil-not-looked-at': () => 'Dig a pit and say in the settings whether the soil is clay or loose slope soil.',
    'ground/no-caution-found': () => 'Walk the slope above and below: cracks, hummocks, leaning trees and seeps ask for a professional.',
    'flow/no-water': () => 'Look whether the line runs along a ridge, and move it downhill.',
    'flow/concentrated': () => 'End the line before that place, or ask a licensed engineer how the water is to pass.',
    'flow/spread-out': () => 'Look on site for ruts, pipes and stock paths that gather water and are smaller than a cell.',
    'soil/soaks': () => 'Test again where the soil changes along the line, and after the first winter.',
    'soil/by-texture-only': (f, m) =>
      `Make at least ${m.count(f.number('fewestTests'))} intake tests at the depth of the bed, in soil that is already wet.`,
    'soil/too-slow': (f, m) =>
      f.number('drainFall_ratio') === null
        ? 'Plan a ditch that falls to a chosen outlet, or leave the place as it is.'
        : `Plan a ditch that falls ${m.slope(f.number('drainFall_ratio'))} to the chosen outlet, or leave the place as it is. Its size is worked out under soaking.`,
    'soil/takes-no-water': () => 'Look in a pit what holds the water up, and choose another place.',
    'soil/no-ditch': () => 'Settle the line and the shape of the ditch first, then check again.',
    'no-go/features-missing': () => 'Draw the buildings, forest, wet ground, streams, buried lines and the boundary, then check again.',
    'catchment/complete': () => 'After heavy rain, look whether roofs, tracks or pipes bring in water from beyond the ridge.',
    'catchment/cut-by-edge': () => 'Bring height data that reaches the ridge.',
    'catchment/uncertain-outline': () => 'Walk the ridge and see which way the water runs on either side.',
    'catchment/in-hollow': () => 'Go and look whether the hollow is real. If it is, move the line out of it.',
    'soil/no-pits': (_f, m) =>
      `Dig test pits, at least ${m.length(1)} below the planned bed, every ${m.length(30)} to ${m.length(50)}. Write down texture, roots, mottling, water, and how fast water sinks in.`,
    'storage/holds': () => 'Build the spill first, and large enough for the whole storm.',
    'storage/passes-through': () => 'Size the spill for the whole storm, and choose the ground below it with as much care as the ditch.',
    'storage/bare-above': () =>
      'Cover the slope first: sow, mulch, keep stock off. Look at the ditch after each rain and clear it before it is a quarter full.',
    'storm/snow-or-frost': () => 'Ask the local authority or a licensed engineer what melting snow sends here before anything is dug.',
    'storage/no-rain-table': () => 'Bring the rain table of the weather service for this place, with short bursts too.',
    'storage/catchment-cut': () => 'Bring height data that reaches the ridge, then size the ditch.',
    'storage/cannot-be-dug': () => 'Choose gentler ground, or change the side slopes, the depth or the crest.',
    'storage/storm-outside-table': () => 'Bring a rain table that holds this storm, or judge the ditch by one that the table holds.',
    'storage/no-texture': () => 'Feel the soil in a pit and set its texture, or work out runoff by cover and soil group.',
    'spill/no-short-bursts': () => 'Bring a rain table with bursts of 5, 10 and 15 minutes from the weather service.',
    'spill/catchment-cut': () => 'Bring height data that reaches the ridge, then size the spill.',
    'spill/long-enough': (_f, m) => `Build the sill before the ditch, in undisturbed ground, level within ${m.depth(6)}, and keep it free.`,
    'spill/too-short': () => 'Make the sill as long as it is asked, shorten the line, or choose more than one place to spill.',
    'spill/very-long': () => 'Split the line into shorter ones with a spill each, or ask a licensed engineer.',
    'freeboard/peak-unknown': () => 'Bring a rain table with short bursts and make sure that the height data reaches the ridge.',
    'freeboard/over-berm': () => 'Make the sill longer or lower, the ditch wider, or the line shorter; then check again.',
    'freeboard/too-little': () => 'Make the sill longer or lower, keep the ditch mown, or spill in two places.',
    'freeboard/enough': () => 'Check the crest with an instrument after the berm has settled, and after each winter.',
    'exit/peak-unknown': () => 'Bring a rain table with short bursts, then check again.',
    'exit/bare-holds': () => 'Sow grass all the same, and look for rills after each storm.',
    'exit/grass-first': () => 'Keep water out of the ditch until the grass stands, or lay stone below the sill for the first year.',
    'exit/stone': () => 'Lay stone below the sill, set it into the ground, or spread the water over a longer sill.',
    'exit/too-fast': () => 'Choose gentler ground for the spill, or a much longer sill. Ask a licensed engineer.',
    'fill/shallow': () => 'Keep the sill at this height when you build.',
    'fill/deep': () => 'Dig deeper and spill lower, so that less water leans on the berm.',
    'fill/not-known': () => 'Settle the line and the shape of the ditch first, then check again.',
    'fill/too-deep': () => 'Lower the sill or dig deeper. Ask a licensed engineer if the water must stand so deep.',
    'storage/line-not-level': () => 'Trace the line along one height again, or split it into shorter lines.',
    'overflow/culvert-on-way': () => 'Look for a pipe at that bank. If there is one, draw the culvert under Ground and check again.',
    'overflow/reaches-building': () => 'Choose the other end, move the line, or do not build. Ask a licensed engineer before you go on.',
    'overflow/near-building': () => 'Walk the way of the water from the spill to the building. Move the spill further off if you can.',
    'overflow/not-high-enough': () => 'Measure the floor and the ground on the water’s way with an instrument.',
    'overflow/misses': () => 'Walk the way of the water in rain. Ruts and stock paths that the data does not show can turn it.',
    'overflow/buildings-not-confirmed': () =>
      'Draw every building down to the stream, sheds and neighbors’ too, then say so in the settings.',
    'overflow/leaves-raster': () => 'Bring height data that reaches down to the stream.',
    'overflow/no-building-drawn': () => 'Look again from the line down to the stream: sheds, tanks and the neighbors’ buildings count.',
    'overflow/no-ground': () => 'Move the ends of the line onto ground that the height data shows.',
    'holding/stays': () => 'Check the boundary marks on site.',
    'holding/crosses-boundary': () => 'Choose another place to spill, or ask the neighbor and the local authority first.',
    'holding/boundary-not-drawn': () => 'Draw the property boundary.',
    ...sayings(SOIL_NEXT, 'en'),
    ...sayings(SITING_NEXT, 'en'),
    ...sayings(LIMIT_NEXT, 'en'),
  } satisfies Record<string, Say>,

  reason: {
    'above-building': 'above a building',
    'near-building': 'close to a building',
    forest: 'existing forest',
    'wet-ground': 'ground that is already wet',
    spring: 'close to a spring',
    septic: 'close to a septic field',
    well: 'close to a well',
    boundary: 'close to the property boundary',
    track: 'close to a track',
    stream: 'close to a stream',
    utility: 'close to a buried line',
    slip: 'an old slip',
    hollow: 'a hollow',
    'too-steep': 'too steep',
    seepage: 'uphill of a building, septic field or well, so near that water may seep into it',
    'high-wetness': 'a place where water gathers: look on site',
    'slide-prone': 'a slope that may slide when it is soaked: ask a professional',
    'steep-weak-soil': 'steep ground that is clay or loose slope soil, or was not looked at: ask a professional',
    'above-bank': 'above a cut bank, a wall or a track: ask a professional',
    'above-slip': 'above the head of an old slip: ask a professional',
  } satisfies Record<NoGoReason, string>,

  pathEnd: {
    edge: 'runs off the edge of the height data',
    void: 'ends where the height data has a gap',
    hollow: 'ends in a hollow',
    stream: 'ends in the stream',
    forest: 'ends in the forest',
    boundary: 'crosses the property boundary',
  } satisfies Record<PathEnd, string>,
  /** The word at the arrow's end on the plan. */
  endWord: {
    edge: 'off the data',
    void: 'into a gap in the data',
    hollow: 'into a hollow',
    stream: 'into the stream',
    forest: 'into the forest',
    boundary: 'over the boundary',
  } satisfies Record<PathEnd, string>,

  spillReason: {
    ...texts(SPILL_REASON_WORDS, 'en'),
    'near-septic': 'it comes near a septic field',
    'gentle-exit': 'the ground below the spill is gentle',
  },

  warning: {
    'elevation-unit/assumed': () =>
      'The file does not say the unit of its heights; meters were taken. If they are feet, every height here is wrong by a factor of 3.28.',
    'elevation-unit/overridden': f =>
      `The file gives its heights in ${f.text('file') ?? 'another unit'}; they were read as ${f.text('given') ?? 'you said'}, as you asked.`,
    'vertical-datum/not-stated': () =>
      'The file does not say what its heights are counted from. Heights within it can be compared; with a GPS or another map they may differ.',
    'vertical-datum/ellipsoidal': () =>
      'The heights are counted from the ellipsoid, not from sea level. They can differ from other maps by tens of meters.',
    'grid/reprojected': (f, m) =>
      `The height data was redrawn from ${f.text('from') ?? 'its own system'} into ${f.text('to') ?? 'meters'} with cells of ${m.length(f.number('cell_m'))}. That smooths it a little.`,
    'grid/resampled': (f, m) =>
      `The cells of the file are not square; they were redrawn as squares of ${m.length(f.number('cell_m'))}. That smooths the ground a little.`,
    'grid/rotated': () => 'The raster in the file is turned; it was redrawn north-up. That smooths the ground a little.',
    'grid/quantised': (f, m) =>
      `The heights come in steps of ${m.height(f.number('quantum_m'))}. On gentle ground these steps look like terraces that are not there.`,
    'grid/packed-with-error': (f, m) =>
      `To make the file smaller its heights were changed: each may be off by up to ${m.height(f.number('error_m'))}, on top of the survey’s own error. Smaller differences in height mean nothing.`,
    'grid/looks-like-surface-model': (f, m) =>
      `${f.number('steepShare') === null ? 'Many cells are' : `${m.slope(f.number('steepShare'))} of the cells are`} as steep as walls: this may show treetops and roofs, not the ground. Water cannot be traced over treetops.`,
    'grid/voids': (f, m) =>
      `There are gaps without data in the raster${f.number('cells') === null ? '' : ` (${f.number('cells')} cells)`}. Water is not traced across them.${(f.number('inner') ?? 0) > 0 ? ` ${f.number('inner')} of them lie within it, the largest of ${m.area(f.number('largest_m2'))}: say whether they are to be filled.` : ''}`,
    'grid/voids-filled': (f, m) =>
      `${f.number('voids') ?? 'Some'} gap(s) of up to ${m.area(f.number('most_m2'))} were filled with a smooth skin (${f.number('cells') ?? '?'} cells). Those heights are made up.`,
    'grid/tiny': f =>
      `The raster has only ${f.number('width') ?? '?'} by ${f.number('height') ?? '?'} cells. That is too few to see which ground drains where.`,
    'grid/flat-border': (f, m) =>
      `A good part of the rim has one and the same height (${m.elevation(f.number('elevation_m'))}). It may stand for “no data”; if so, say it when you read the file.`,
    'grid/scaled': () => 'The file stores its heights with a factor and an offset; both were applied.',
    'grid/other-images-ignored': f =>
      `The file holds ${f.number('images') === null ? 'more images' : `${f.number('images')} more image(s)`}; only the first was read.`,
    'grid/mask-applied': f =>
      `The file carries a mask; the cells with a height that it hides (${f.number('cells') ?? '?'}) were taken out and count as gaps.`,
    'grid/mask-ignored': () => 'The file carries a mask that was not used. Cells that it hides may have been taken for ground.',
    'grid/nodata-unreadable': f =>
      `The file’s mark for “no data” (${f.text('text') ?? 'not given'}) could not be read as a number and was not used.`,
    'grid/nodata-impossible': f =>
      `The file’s mark for “no data” (${f.number('value') ?? 'not given'}) cannot occur in its numbers and was not used.`,
    'grid/infinite-cells': f => `${f.number('cells') ?? 'Some'} cells held no finite height and count as gaps without data.`,
    'survey/interpolated': (f, m) =>
      `The ground was drawn straight between ${f.number('points') ?? 'the'} measured points, in cells of ${m.length(f.number('cell_m'))}. A bank or a ditch between two points is not in it.`,
    'survey/merged': f =>
      `${f.number('points') ?? 'Some'} point(s) stood at the place of an earlier one and were left out${f.number('firstRow') === null ? '' : `, the first in row ${f.number('firstRow')}`}.`,
    'survey/voids': (f, m) =>
      `${f.number('cells') ?? 'Some'} cells lie outside the points, or between points more than ${m.length(f.number('longestEdge_m'))} apart. Nobody measured there: they are gaps without data.`,
    'survey/reprojected': f =>
      `The places of the points were worked out anew from ${f.text('from') ?? 'their own system'} in ${f.text('to') ?? 'meters'}. Their heights were not touched.`,
    'crs/overridden': f =>
      `The file says ${f.text('file') ?? 'another coordinate system'}; it was read as ${f.text('given') ?? 'you said'}, as you asked.`,
    'crs/stretched': (f, m) =>
      `In this coordinate system lengths on the map and on the ground differ here (factor ${m.number(f.number('stretch_ratio'))}). Tape the lengths on site.`,
    'crs/datum-shift-approximate': () =>
      'The places on Earth are right to a few meters only. Lengths and heights within the plan are not touched by it.',
    'crs/datum-unknown': () =>
      'It is not known how this coordinate system lies on the Earth. Places may be off by up to some hundred meters on other maps.',
    'vector/empty-geometries': f => `${f.number('features') ?? 'Some'} drawn feature(s) have no shape and were left out.`,
    'tiles/joined': f =>
      `${f.number('tiles') ?? 'Several'} tiles were joined to one raster. Where they overlap, the first that has a height gives it.`,
    'tiles/disagree': f =>
      `Where the tiles overlap they differ in ${f.number('cells') ?? 'some'} cell(s), by up to ${f.number('most') ?? 'an unknown amount'} in the file’s unit: there may be a step in the ground there.`,
    'vector/records-left-out': f =>
      `${f.number('records') ?? 'Some'} of ${f.number('of') ?? 'the'} record(s) of the shapefile are broken and were left out, the first is number ${f.number('first') ?? 'unknown'}. What they show is not on the plan.`,
    'vector/index-disagrees': f =>
      `The index of the shapefile lists ${f.number('index') ?? 'other'} record(s) and the file itself holds ${f.number('records') ?? 'others'}; all of the file were read. Another program may show fewer: have the layer exported again.`,
    'vector/without-attributes': f =>
      `${f.number('features') ?? 'Some'} shape(s) have no row in the table of the shapefile, so nothing is known of them but their place.`,
    'vector/deleted-left-out': f => `${f.number('features') ?? 'Some'} feature(s) are marked as deleted in the file and were left out.`,
    'vector/links-not-followed': f =>
      `The file links to ${f.number('links') ?? 'some'} other file(s); they were not fetched, so what they show is missing.`,
    'vector/shapes-left-out': f =>
      `${f.number('shapes') ?? 'Some'} picture(s), model(s) or moving track(s) of the file are no points, lines or areas on the ground and were left out.`,
    'vector/layers-left-out': f =>
      `${f.number('layers') ?? 'Some'} layer(s) with ${f.number('features') ?? 'some'} feature(s) were left out, as you said.`,
    'vector/layers-unreadable': f =>
      `${f.number('layers') ?? 'Some'} layer(s) of the file could not be read and were left out, the first is ${f.text('first') ?? 'not named'}.`,
    'geopackage/rows-left-out': f =>
      `${f.number('rows') ?? 'Some'} of ${f.number('of') ?? 'the'} row(s) of the table hold no shape that can be read and were left out, the first is number ${f.number('first') ?? 'unknown'}. What they show is not on the plan.`,
    'geopackage/curves-left-out': f =>
      `${f.number('features') ?? 'Some'} feature(s) are curves or surfaces in space, which are not read here, and were left out. Export the layer with straight pieces.`,
    'geopackage/other-system-left-out': f =>
      `${f.number('features') ?? 'Some'} feature(s) say that they lie in another coordinate system than their table and were left out.`,
    'geopackage/views-left-out': f =>
      `${f.number('layers') ?? 'Some'} layer(s) are worked out by instructions in the file, which are not carried out here, and were left out, the first is ${f.text('first') ?? 'not named'}. Export them as tables.`,
    'geopackage/tables-left-out': f =>
      `${f.number('tables') ?? 'Some'} other table(s) of the file are no features (pictures, heights or lists) and were left out, the first is ${f.text('first') ?? 'not named'}.`,
    'geopackage/may-lack-changes': () =>
      'The file was copied while it was open elsewhere: its last changes may stand in a second file (-wal) and be missing here. Close it there and export it again.',
    'vector/copies-left-out': f => `${f.number('features') ?? 'Some'} feature(s) stand twice in the file; each was taken once.`,
    'vector/local-metres': () =>
      'The raster has no place on Earth, so the drawn coordinates were taken as meters of the raster’s own grid.',
    'vector/outside-raster': () => 'Nothing of what was drawn in this file lies on the height data. Is it the right file?',
    'line/others-ignored': f => `The file holds ${f.number('features') ?? 'some'} other feature(s) besides the line; they were not used.`,
    'features/ids-made-unique': f => `${f.number('features') ?? 'Some'} feature(s) shared an id with another; new ids were given.`,
    'features/rings-closed': f => `${f.number('rings') ?? 'Some'} outline(s) were drawn open; each was closed with a straight piece.`,
    'line/in-hollow': () => 'Part of the line lies in a hollow that fills up before its water moves on.',
    'travel/raised-to-least': () =>
      'The time that water takes came out below six minutes; six minutes were taken, the least that the method knows.',
    'travel/no-two-year-rain': () =>
      'The rain table has no 24-hour rain with a chance of 1 in 2, which the time of concentration rests on; the shortest time was taken, which makes the highest peak.',
    'travel/area-not-checked': () =>
      'The size of the catchment is not known, so nobody checked whether the rule for the time of concentration fits it.',
    'peak/no-short-burst': () =>
      'The rain table has no bursts of 15 minutes or less, so the highest flow is not known. A day’s rain does not tell it.',
    'peak/area-outside-rational': () => 'The catchment is larger than the rational method is meant for.',
    'peak/shortest-duration-taken': () =>
      'Water arrives sooner than the shortest burst in the rain table; that burst was taken, so the flow may be higher.',
    'peak/curve-number-outside-graphical': () => 'The runoff number is too low for the graphical method.',
    'peak/time-outside-graphical': () => 'The time of concentration lies outside the graphical method’s table (0.1 to 10 hours).',
    'peak/ponds-outside-graphical': () => 'More of the catchment is ponds or marsh than the graphical method allows for.',
    'peak/abstraction-clamped': () =>
      'The part of the rain that is held back lies outside the graphical method’s table; the table’s nearest value was taken.',
    'hollows/not-as-chosen': f =>
      `Choice ${f.number('choice') ?? ''} about a hollow was not followed: ${
        { 'choice/no-hollow': 'no hollow holds that place', 'choice/overruled': 'another choice for the same hollow is milder' }[
          f.text('because') ?? ''
        ] ?? 'it cannot be opened within the limits'
      }.`,
    'section/holds-less-than-sill': () =>
      'The ground above the line is so flat that water would run out uphill before it reaches the sill. Less is counted as stored.',
    'section/holds-less-than-crest': () =>
      'The ground above the line is so flat that water would run out uphill before it reaches the crest.',
    'runoff/none': () => 'By the method no water runs off in this storm. In real storms some may.',
    'stakes/screening-only': () =>
      'This height data is good for a first look alone, so no stakes were written: bring finer height data of the bare ground, or survey the place.',
    ...sayings(FILE_REMARKS, 'en'),
    ...sayings(RAIN_REMARKS, 'en'),
    ...sayings(LIMIT_REMARKS, 'en'),
    ...sayings(OPEN_GROUND_REMARKS, 'en'),
  } satisfies Record<string, Say>,
  warningUnknown: (code: string, details: string) =>
    `A remark without a sentence yet, code ${code}${details === '' ? '' : ` (${details})`}.`,
  /** How a sentence begins that says what is not known. */
  unknownFirst: 'Unknown: ',
  codeUnknown: (code: string) => `A reason without a sentence yet, code ${code}.`,
  nextUnknown: 'Ask someone who knows this work before you go on.',

  feature: {
    building: 'building',
    forest: 'forest',
    wet: 'wet ground',
    spring: 'spring',
    septic: 'septic field',
    well: 'well',
    boundary: 'property boundary',
    track: 'track',
    stream: 'stream',
    utility: 'buried line',
    culvert: 'culvert',
    wall: 'wall',
    slip: 'old slip',
    pit: 'test pit',
  } satisfies Record<FeatureKind, string>,

  setting: {
    bedWidth_m: 'Width of the bed',
    depth_m: 'Depth of the bed below its downhill lip',
    cutSideSlope_ratio: 'Side slopes of the ditch',
    bermInnerSlope_ratio: 'Slope of the berm, ditch side',
    bermOuterSlope_ratio: 'Slope of the berm, downhill side',
    crestWidth_m: 'Width of the berm’s crest',
    bermPerCut_ratio: 'Settled berm per volume dug',
    sectionForm: 'Form of the ditch',
    drawnCut_m: 'The drawn section',
    bedFall_ratio: 'Fall of the bed toward the spill',
    checkBanks: 'Check banks across a falling bed',
    freeboard_m: 'Berm above the highest water, at least',
    freeboardAboveHouse_m: 'The same where a house lies below',
    spillHead_m: 'Height of the storm’s water over the long sill',
    sillLength_m: 'Length of the long sill, if given',
    spillChainage_m: 'Where it spills along the line, if given',
    notchDepth_m: 'Depth of the low notch under the sill',
    notchWidth_m: 'Width of the low notch',
    weirCoefficient: 'How freely water passes the sill',
    ditchRoughness: 'Roughness of the grown ditch (Manning’s n)',
    exitSoil: 'Soil below the spill',
    exitSoilResistance: 'How that soil resists under grass',
    exitGrass: 'Grass below the spill, by published rule',
    exitStone_m: 'Size of the stone below the spill',
    spreaderRule: 'Rule for spreading water below the sill',
    cover: 'Cover of the ground above',
    coverCondition: 'State of that cover',
    soilGroup: 'Soil group (A soaks most, D least)',
    soilGroupRule: 'Where the soil group comes from',
    curveNumber: 'Runoff number, if given outright',
    sedimentShare_ratio: 'Share of the storage kept for sediment',
    swell_ratio: 'How much looser soil lies once dug',
    aboveShare_ratio: 'Share of a place’s water reaching a building that makes it “above a building”',
    setbackBuilding_m: 'Distance kept from a building',
    steepSlope_ratio: 'Steeper ground than this is no-go',
    hollowDepth_m: 'Depth from which a hollow counts',
    hollowVolume_m3: 'Volume from which a hollow counts',
    wallHeight_m: 'Height of a drawn wall without one',
    coverWeighting: 'How several covers count together',
    initialAbstraction_ratio: 'Rain held back before any runs off',
    wetnessRule: 'Runoff number of dry and wet ground',
    runoffMethod: 'How runoff is worked out',
    soilSaturation_ratio: 'How wet the soil is before the storm',
    acceptanceChanceAboveHouse: 'The same where a house lies below',
    stormPattern: 'How the rain is spread over the storm',
    stormPeakPlace_ratio: 'Where the heaviest burst falls in it',
    rainUplift_ratio: 'Factor on all rain, for a changing climate',
    timeMethod: 'How the time of concentration is worked out',
    sheetLengthRule: 'How far water runs as a sheet',
    unitForm: 'Form of the flood of one burst',
    sheetSurface: 'Ground at the top of the slope',
    shallowSurface: 'Ground further down the slope',
    texture: 'Texture of the soil at the bed',
    textureIntake: 'Published intake that is counted',
    slowestTest_mmh: 'Slowest intake test',
    intakeTests: 'Number of intake tests',
    emptyWithin_h: 'Time in which the ditch is to soak empty',
    digSoil: 'How the ground digs',
    digOutput: 'How fast people dig',
    hoursPerDay_h: 'Hours of digging in a day',
    settlement_ratio: 'How much the berm settles',
    settlementConvention: 'What the settling is counted of',
    mulchDepth_m: 'Depth of mulch on the berm',
    stakesEvery_m: 'Most between two stakes',
    stakesBend_deg: 'Bend that gets a stake of its own',
    baseStake: 'Stake that the others are measured from',
    doubtCap_m: 'Where the doubt of a stake’s place is cut off',
    aFrameSpan_m: 'Legs of the A-frame apart',
    aFramePlumb_m: 'Plumb line of the A-frame, nail to crossbar',
    waterLevelReach_m: 'Reach of the water level',
    unevennessShare_ratio: 'How uneven the bed may be, of the depth of water',
    crestTolerance_mm: 'How far the crest may lie under the plan',
    sillTolerance_mm: 'How far the sill may lie off its level',
    positionLimit_m: 'How unsure a phone may be of its place to lead to a stake',
    digStretch_m: 'Stretch of the digging plan',
    stripDepth_m: 'Turf and topsoil taken off',
    soakWidth_m: 'Wet ground below the berm, for trees',
    besideSill_m: 'Nothing woody this near to the sill',
    bermPlants: 'Woody plants on the berm',
    concentratedFlow_ratio: 'Share of the water in one place that asks to watch',
    acceptanceChance: 'Storm that the ditch is judged by',
    stormDuration_h: 'Length of that storm',
    elevationError_m: 'Error of the heights (one standard error)',
    buildingClearance_m: 'Distance from a building that asks to watch',
    buildingMargin_m: 'Margin around a building for “above a building”',
    setbackBoundary_m: 'Distance kept from the boundary',
    setbackTrack_m: 'Distance kept from a track',
    setbackStream_m: 'Distance kept from a stream',
    setbackUtility_m: 'Distance kept from a buried line',
    setbackSeptic_m: 'Distance kept from a septic field',
    setbackWell_m: 'Distance kept from a well',
    setbackSpring_m: 'Distance kept from a spring',
    triedTerrains: 'Number of terrains tried',
    correlatedError_ratio: 'Share of the height error that neighbors have in common',
    errorCorrelation_m: 'How far that shared error reaches',
    burnedAbove: 'The slope above burned and has not grown back',
    snowOrFrost: 'Water may come from melting snow or off frozen ground',
    sillArmoured: 'A sill on loose fill will be armored, with a cut-off',
    seepage_m: 'Distance uphill of a building, septic field or well where water may seep in',
    seepageDepths_ratio: 'The same in depths of the ditch',
    slideCohesion_kPa: 'Cohesion of the wet soil, kPa',
    slideFriction_deg: 'Friction angle of the wet soil, degrees',
    slideWeight_kNm3: 'Weight of the wet soil, kN/m³',
    slideDepth_m: 'Depth of a shallow slide',
    slideWetShare_ratio: 'Share of that depth under water',
    slideFactor_ratio: 'Factor below which ground is marked as prone to slide',
    weakSoil: 'Is the soil clay or loose slope soil?',
    weakSlope_ratio: 'Slope on such soil that asks for a professional',
    bankSlope_ratio: 'Slope that counts as a cut bank or terrace wall',
    bankDistance_m: 'Distance above a cut bank that asks for a professional',
    slipHead_m: 'Distance above an old slip',
    wetnessIndex_ln: 'Wetness index that marks gathering water',
    canopyHeight_m: 'Height over the ground that counts as forest',
    allBuildingsDrawn: 'All buildings down to the stream are drawn',
    mayWatercourse: 'A watercourse is touched',
    mayWetland: 'A wetland or protected ground is touched',
    mayEarthworks: 'Consent to earthworks',
    mayBuriedLines: 'Buried lines, marked by the locator',
    mayNeighbour: 'Water newly led toward a neighbor',
    regulatedHeight_m: 'Height of bank from which local rules ask for an engineer',
    regulatedVolume_m3: 'Stored volume from which local rules ask for one',
    permissionsAsked: 'Permissions are answered',
  } satisfies Record<keyof Settings, string>,

  cover: {
    pasture: 'pasture',
    meadow: 'meadow, mown',
    brush: 'brush',
    'woods-grass': 'woods and grass, orchard',
    woods: 'woods',
    farmstead: 'farmstead',
    'fallow-bare': 'bare fallow',
    'newly-graded': 'newly graded ground',
    'row-crop-straight': 'row crops, straight rows',
    'row-crop-contoured': 'row crops on contour',
    'row-crop-contoured-terraced': 'row crops on contour, terraced',
    'small-grain-straight': 'small grain, straight rows',
    'small-grain-contoured': 'small grain on contour',
    'rotation-meadow-straight': 'meadow in rotation, straight rows',
    'rotation-meadow-contoured': 'meadow in rotation, on contour',
    lawn: 'lawn',
    'gravel-road': 'gravel road',
    'dirt-road': 'dirt road',
    impervious: 'roofs and paving',
  },
  condition: { poor: 'poor', fair: 'fair', good: 'good' },
  /** Choices of the other settings, by their codes. */
  choice: {
    none: 'none',
    small: 'small ones',
    trees: 'trees too',
    'not-here': 'does not apply here',
    allowed: 'asked and allowed',
    refused: 'refused',
    trapezoid: 'flat bed, straight sides',
    bowl: 'bowl',
    drawn: 'as drawn',
    erodible: 'easily washed out',
    resistant: 'resistant',
    'firm-loam': 'firm loam',
    'fine-sand': 'fine sand',
    'sandy-loam': 'sandy loam',
    'silt-loam': 'silt loam',
    'stiff-clay': 'stiff clay',
    'alluvial-silt': 'alluvial silt',
    'fine-gravel': 'fine gravel',
    sand: 'sand',
    'loamy-sand': 'loamy sand',
    loam: 'loam',
    'sandy-clay-loam': 'sandy clay loam',
    'clay-loam': 'clay loam',
    'silty-clay-loam': 'silty clay loam',
    'sandy-clay': 'sandy clay',
    'silty-clay': 'silty clay',
    clay: 'clay',
    'north-carolina': 'North Carolina',
    'hathaway-hunt-grass': 'onto grass (Hathaway & Hunt)',
    'trca-forest': 'into forest (Toronto region)',
    'half-cfs-per-foot': 'the shortest, without an author',
    'tp-61/bermudagrass': 'bermudagrass (SCS-TP-61)',
    'tp-61/bluegrass-brome-grama': 'bluegrass, brome, grama (SCS-TP-61)',
    'tp-61/grass-mixture-canarygrass': 'grass mixture, canarygrass (SCS-TP-61)',
    'tp-61/lespedeza-lovegrass-alfalfa': 'lespedeza, lovegrass, alfalfa (SCS-TP-61)',
    'kansas-5-40-56/bermuda-bahia': 'bermuda, bahia (Kansas rule)',
    'kansas-5-40-56/sod-grasses-canarygrass': 'sod grasses, canarygrass (Kansas rule)',
    'kansas-5-40-56/sod-mixtures': 'sod mixtures (Kansas rule)',
    'kansas-5-40-56/native-bunch': 'native bunch grass (Kansas rule)',
    asked: 'as given',
    'transmission-rate': 'from the slowest test (TR-55, 1986)',
    'tightest-layer': 'from the slowest test (NEH, 2009)',
    lowest: 'the lowest',
    table: 'by the published table',
    formula: 'by formula',
    'neh-15-2010': 'the shorter (NEH, 2010)',
    'tr-55-1986': 'the longer (TR-55, 1986)',
    curved: 'curve of the handbook',
    triangle: 'triangle',
    fast: 'fast',
    middle: 'middle',
    slow: 'slow',
    runoff: 'each by its own runoff',
    area: 'one number, by area',
    'curve-number': 'by cover and soil group',
    'green-ampt': 'by what the texture takes in',
    'alternating-block': 'from the place’s own rain table',
    I: 'US 24-hour pattern I',
    IA: 'US 24-hour pattern IA',
    II: 'US 24-hour pattern II',
    III: 'US 24-hour pattern III',
    velocity: 'by the speed along the way of the water',
    kirpich: 'Kirpich',
    lag: 'NRCS lag',
    smooth: 'smooth',
    'fallow-no-residue': 'bare fallow',
    'cultivated-residue-up-to-20-percent': 'tilled, little left on it',
    'cultivated-residue-over-20-percent': 'tilled, much left on it',
    'short-grass-prairie': 'short grass',
    'dense-grass': 'dense grass',
    bermudagrass: 'bermudagrass',
    range: 'range',
    'woods-light-underbrush': 'woods, light underbrush',
    'woods-dense-underbrush': 'woods, dense underbrush',
    'paved-or-upland-gully': 'paved, or a small gully',
    'grassed-waterway-or-unpaved': 'grassed waterway, unpaved',
    'nearly-bare': 'nearly bare',
    'row-crop-straight': 'row crops, straight rows',
    'short-grass-pasture': 'pasture, short grass',
    'minimum-tillage-contour-or-woodland': 'woodland, or little tilled',
    'forest-litter-or-hay-meadow': 'forest litter, hay meadow',
    loose: 'loose',
    firm: 'firm',
    'boulder-clay': 'clay with boulders',
    rock: 'rock',
    'of-settled': 'of the settled height',
    'of-built': 'of the built height',
  } as Readonly<Record<string, string>>,
  /** Ends of sources that the library gives in English. */
  sourceWord: {
    judgement: 'judgement',
    'common practice, no source': 'common practice, no source',
    'from memory, unchecked': 'from memory, unchecked',
    'weighted by area from the covers listed': 'weighted by area from the covers listed',
  } as Record<string, string>,
  yes: 'yes',
  no: 'no',
  notGiven: 'not given',

  /** Clockwise from north in eighths of a turn. */
  toward: ['north', 'northeast', 'east', 'southeast', 'south', 'southwest', 'west', 'northwest'],
  endOf: [
    'the north end',
    'the northeast end',
    'the east end',
    'the southeast end',
    'the south end',
    'the southwest end',
    'the west end',
    'the northwest end',
  ],
  placeAlong: (length: string) => `the place ${length} along the line`,
  list: (parts: readonly string[]) =>
    parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts[parts.length - 1]}`,

  question: {
    ridge: 'Which ridge drains here?',
    spill: 'Where should it spill?',
    building: 'Will the overflow reach a building?',
  },
  answer: {
    area: (area: string, cut: boolean) => (cut ? `At least ${area} drain into this line.` : `${area} drain into this line.`),
    ridge: (rise: string, distance: string, toward: string) =>
      `The water comes from the ${toward}; the high point of the ridge stands ${rise} above the bed, ${distance} away.`,
    ridgeAtEdge: (sides: string | null, gap: boolean) =>
      `The height data ends before the ridge${sides === null ? '' : `, to the ${sides}`}${gap ? `${sides === null ? ',' : ' and'} at a gap in it` : ''}: bring data that reaches it before you size anything.`,
    noRidge: 'No ridge could be drawn around it.',
    noSpill: 'No place to spill was found. No acceptable outlet, no swale.',
    spillAt: (end: string, length: string, ending: string) =>
      `Of the two ends, ${end} is the better place to spill: the overflow runs ${length} and ${ending}.`,
    spillAtBest: (place: string, length: string, ending: string) =>
      `Of the places looked at, ${place} is the best to spill: the overflow runs ${length} and ${ending}.`,
    spillAllBad: (place: string, length: string, ending: string) =>
      `None of the places looked at is a good place to spill. The least bad one is ${place}: the overflow runs ${length} and ${ending}.`,
    spillBad: (end: string, length: string, ending: string) =>
      `Neither end is a good place to spill. The less bad one is ${end}: the overflow runs ${length} and ${ending}.`,
    spillWhy: (against: string, inFavor: string) =>
      [against && `Against it: ${against}.`, inFavor && `For it: ${inFavor}.`].filter(part => part !== '').join(' '),
    spillOther: (end: string, against: string, inFavor: string) =>
      [against && `Against ${end}: ${against}.`, inFavor && `For ${end}: ${inFavor}.`].filter(part => part !== '').join(' '),
    flow: (end: string, length: string, ending: string) => `From ${end} the overflow runs ${length} and ${ending}.`,
    reaches: (name: string) => `It reaches ${name}.`,
    passes: (name: string, distance: string, height: string | null, below: boolean) =>
      `It passes ${name} at ${distance}${height === null ? '; how far below the floor is not known' : `, ${height} ${below ? 'below' : 'above'} its floor`}.`,
    far: (name: string, distance: string) => `The nearest building that was drawn is ${name}, ${distance} off.`,
    meetsNone: 'It meets no building that was drawn.',
    aBuilding: 'a building',
    traced: 'The way was traced on the ground as the data shows it; ruts and stock paths that are smaller than a cell can turn real water.',
  },

  plan: {
    north: 'N',
    title: 'Plan of the ditch, its catchment and its overflow',
    longTitle: 'Long section along the line',
    crossTitle: 'Cross-section of ditch and berm',
    ground: 'old ground',
    bed: 'bed',
    sill: 'sill, where it spills',
    crest: 'crest after settling',
    spill: (rank: number) => `spill ${rank}`,
    cut: 'dug out',
    berm: 'berm',
    uphill: 'uphill',
    downhill: 'downhill',
    exaggerated: (times: string) => `Heights ${times} times larger than lengths.`,
    notExaggerated: 'Heights and lengths at one scale.',
    along: 'along the line from its first point',
    perLength: (area: string, unit: string) => `${area} per ${unit}`,
    lengthUnit: { metric: 'meter', us: 'foot' },
    noGoStretch: 'stretch on no-go ground',
    noLine: 'The line has no length, so no section can be drawn.',
    scale: (ratio: string) => `1:${ratio}`,
    scaleFeet: (feet: string, ratio: string) => `1 inch = ${feet} feet (1:${ratio})`,
  },

  key: {
    contour: (interval: string) => `contour, every ${interval}`,
    ditch: 'ditch, with the berm on its downhill side',
    catchment: 'ground that drains into the line',
    ridge: 'ridge that bounds it, with its high point',
    overflow: 'way of the overflow; the numbers rank the places to spill',
    band: 'where it may spread',
    clearance: 'distance from a building that asks to watch',
    noGo: (reason: string) => `no swale here: ${reason}`,
  },

  report: {
    sheet: 'Swale sheet',
    shows: 'Possible swale on contour: catchment, storage and overflow',
    drawing: 'What it shows',
    data: 'Height data',
    trust: 'What to trust it for',
    date: 'Date',
    scale: 'Scale of the plan',
    atFullSize: 'printed at 100 %, not fitted to the page',
    dataText: (file: string, crs: string, cell: string) => `${file}; ${crs}; cells of ${cell}`,
    unitFrom: {
      file: 'The unit of the heights is read from the file.',
      user: 'The unit of the heights is as the user said.',
      assumed: 'The unit of the heights is assumed.',
    } as Record<string, string>,
    errorKnown: (error: string) => `Heights off by about ${error} (one standard error).`,
    errorUnknown: 'How far the heights may be off is not known.',
    unnamed: 'not named',
    questions: 'Three questions first',
    limits: 'This is a planning estimate. It checks and traces; it proves nothing. Read “Before you dig” below.',
    asBuilt: 'Worked out on the ditch as it was read on site, not as it was planned. Stakes, digging and planting are those of the plan.',
    plan: 'Plan',
    heightsIn: { metric: 'Heights on the plan are in meters', us: 'Heights on the plan are in feet' },
    sections: 'Sections',
    findings: 'What was checked',
    findingColumns: { verdict: 'Verdict', check: 'Question', text: 'What was found', next: 'What to do next' },
    source: 'Source',
    marks:
      'Filled disc: within limits. Half disc: watch. Cross: fails. Empty ring: unknown. “Within limits” means only that this check found nothing against it.',
    storms: 'Storms',
    noStorms: 'No rain table was given, so no storm could be worked out. Water volumes are unknown, not zero.',
    stormNote: (number: string, source: string) => `Runoff number ${number} (${source}).`,
    stormCut: 'The height data ends before the ridge: real volumes are larger than these.',
    numbers: 'The line in numbers',
    number: {
      length: 'Length of the line',
      bed: 'Height of the bed',
      fall: 'Fall of the ground along the line',
      range: 'Up and down of the ground along the line',
      slope: 'Mean slope of the ground across the line',
      area: 'Ground that drains into it',
      outline: 'Inside the drawn outline',
      flow: 'Longest way of the water to the line',
      toSill: 'Water held up to where the first of it leaves',
      afterSediment: 'The same, with room kept for sediment',
      toCrest: 'Water held up to the crest, where it would run over the berm',
      cut: 'Soil to dig',
      berm: 'Loose soil in the berm',
    },
    spills: 'Places to spill, ranked',
    spillColumns: { rank: 'Rank', place: 'Place', path: 'Way of the overflow', building: 'Nearest drawn building', reasons: 'What counts' },
    settings: 'Settings used',
    settingColumns: { name: 'Setting', value: 'Value', origin: 'Origin', source: 'Source of the default' },
    notDug: 'A ditch of this shape does not fit this line or slope, so no section, storage or soil volume can be given.',
    assumed: 'assumed',
    given: 'given',
    settingsNote: '“Assumed” means a default that nobody has looked at for this place. Change it if you know better.',
    assumptions: 'Assumptions and sources',
    assumptionItems: [
      'Areas, lengths and distances are measured level, as on a map.',
      'Water is traced over the ground as the height data shows it, before the work. Culverts, drains and ruts smaller than a cell are not seen unless they were drawn.',
      'What is dug and held is added up from stake to stake; the drawn section is the one for the mean slope. What a storm leaves is counted from an empty ditch, what the spill must carry from a full one.',
      'What it holds is counted up to where the first water leaves. What stands above that is on its way out.',
      'The berm’s height is after settling. While it is fresh it must stand higher.',
      'The band of the overflow shows where water may spread on smooth ground. It is not a chance.',
    ],
    sources: 'Sources',
    remarks: 'Remarks on the data',
    noRemarks: 'No remarks.',
    cautions: 'Before you dig',
    cautionItems: [
      'Ask the local authority about earthworks, streams, wetlands and water rights. Water newly led onto a neighbor’s land is a reason to stop.',
      'Have buried lines marked by the utility locating service.',
      'Ask a licensed engineer where a building, road or dwelling lies below, where the ground is steeper than 15° on clay or loose soil, where there are cracks, leaning trees, seeps or old slips, or above any cut bank, terrace edge or road.',
      'Build the spill first, in undisturbed ground, never through loose fill. Nothing woody grows on it or near it.',
      'Set the levels with a water level or a laser, and check the crest and sill again after the berm has settled.',
      'In a storm, stay off the berm and do not stand below it. If it runs over, open the spill, never the berm, and only if you can do so without danger.',
      'Look after it: clear sediment when the bed is a quarter full, keep mulch out of the bed and the spill, mend burrows, fence off stock, think of children near standing water.',
    ],
    notConsidered: 'What was not looked at',
    notConsideredItems: {
      'breach-beyond-ways':
        'Where a broken berm sends water beyond the ways that were traced. Think of everything below the line as in its way.',
      'seepage-and-slope': 'How water seeps toward buildings, and whether the slope stands.',
      groundwater: 'Groundwater: no pit says how deep it lies.',
      'dispersive-soil': 'Soil that comes apart in water: the crumb test is missing from a pit, or there is no pit.',
      'cracking-soil': 'Soil that cracks when it dries: it is not noted for every pit.',
      'burned-ground': 'Whether the slope above has burned.',
      'snow-and-frost': 'Snowmelt and frozen ground.',
      'sediment-and-debris': 'How much soil, stones and branches the water brings.',
      'water-from-beyond': 'Works upstream, field drains, roofs and roads that bring in water from beyond the ridge.',
      'floods-and-plants': 'Streams in flood, and how plants change the flow over the years.',
    } satisfies Record<NotLookedAt, string>,
    tracing: 'To trace this sheet',
    versionText: (version: string) => `Soakline ${version}`,
    hashText: (hash: string) => `Height data, SHA-256: ${hash}`,
    void: 'This sheet no longer holds when the line, the settings, the data or the ground change.',
    signatures: ['Checked on site by', 'Date', 'Permissions seen by'],
    keyTitle: 'Key',
  },

  summary: {
    title: 'Possible swale on contour: a planning estimate, not a design',
    line: (length: string, bed: string, slope: string) => `Line: ${length} long, bed at ${bed}, on ground of ${slope}.`,
    noDitch: 'A ditch of this shape does not fit this line: what it would hold is unknown.',
    holds: (sill: string, cut: string) => `It holds ${sill} up to the sill; ${cut} of soil to dig.`,
    noStorm: 'No rain table was given: what a storm sends is unknown.',
    checks: 'Checks:',
    worst: (verdict: string) => `Worst of all checks: ${verdict}.`,
  },
}

/** What a language must say. */
export type Words = typeof english
