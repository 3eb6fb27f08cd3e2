// The bars of the speed benchmark: what is asked, what was measured, and whether it is met.

/** Lines of a table, `measured` being figures by 'name side kind'; a bar that has no figure says so. */
export function barLines(measured, sizes) {
  const figures = (name, side, kind = 'rough') => measured[`${name} ${side} ${kind}`]
  /** Seconds of a job: its warm call, or the process. */
  const seconds = (name, side, kind) => {
    const found = figures(name, side, kind)
    return found ? (found.warm_ms !== undefined ? found.warm_ms / 1000 : found.wall_s) : Number.NaN
  }
  /** The same in processor time: on a busy machine all that can be compared, of one worker with one process. */
  const processorSeconds = (name, side) => {
    const found = figures(name, side)
    return found ? (found.cpu_ms !== undefined ? found.cpu_ms / 1000 : (found.cpu_s ?? Number.NaN)) : Number.NaN
  }
  const figure = (name, side, what, kind) => figures(name, side, kind)?.[what] ?? Number.NaN

  const lines = ['', 'bar | asked | measured | verdict']
  const bar = (name, asked, value, digits = 2) => {
    const [sign, limit] = (asked ?? '').split(' ')
    const met = sign === '≥' ? value >= Number(limit) : value <= Number(limit)
    const verdict = !Number.isFinite(value) ? 'not measured' : !asked ? 'told' : met ? 'met' : 'NOT MET'
    lines.push(`${name} | ${asked ?? ''} | ${Number.isFinite(value) ? value.toFixed(digits) : '–'} | ${verdict}`)
  }

  for (const side of sizes) {
    /** What is asked at this size, where it is another at each. */
    const asked = (at4000, at10000) => ({ 4000: at4000, 10000: at10000 })[side]
    const single = seconds('GRASS r.watershed -s', side)
    const one = seconds('flow, kernels, 1 worker', side)
    const two = seconds('flow, kernels, 2 workers', side)
    const plain = seconds('flow, plain', side)
    const sagaBoth = seconds('SAGA fill XXL', side) + seconds('SAGA top-down accumulation', side) - 2 * seconds('SAGA start', side)
    const tell = (name, ...rest) => bar(`${side}²: ${name}`, ...rest)
    tell('r.watershed -s / flow, one worker', asked('≥ 8', '≥ 12'), single / one)
    tell('r.watershed -s / flow, two workers', asked('≥ 13', '≥ 22'), single / two)
    tell('r.watershed -s / flow, plain', asked('≥ 3.5', '≥ 6'), single / plain)
    tell('SAGA less its start / flow, one worker', asked('≥ 15', '≥ 25'), sagaBoth / one)
    const processor = processorSeconds('GRASS r.watershed -s', side)
    tell('r.watershed -s / flow, one worker, processor time', undefined, processor / processorSeconds('flow, kernels, 1 worker', side))
    tell('r.watershed -s / flow, plain, processor time', undefined, processor / processorSeconds('flow, plain', side))
    tell('first call / warm call', '≤ 1.25', figure('flow, kernels, 1 worker', side, 'first_ms') / 1000 / one)
    tell('two workers / one', undefined, one / two)
    const whole = seconds('whole process', side)
    tell('GRASS import and r.watershed -s / whole process', asked('≥ 4', '≥ 8'), (seconds('GRASS import', side) + single) / whole)
    const slope = seconds('gdaldem slope', side) - seconds('gdal_translate', side)
    // At 1000 × 1000 the programs' start is nearly all that they take.
    const large = side > 1000
    tell('gdaldem slope less its copy / gradient', large ? '≥ 10' : undefined, slope / seconds('gradient', side))
    tell('the same / gradient with a raster for the answer', undefined, slope / (figure('gradient', side, 'whole_ms') / 1000))
    tell('cells a second, dispersive by vector / flow, one worker', '≥ 0.9', one / seconds('dispersive, by vector', side))
    tell('cells a second, dispersive by facets / flow, one worker', '≥ 0.9', one / seconds('dispersive, by facets', side))
    const spread = processorSeconds('dispersive, by facets', side)
    tell('the same by facets, processor time', undefined, processorSeconds('flow, kernels, 1 worker', side) / spread)
    if (side <= 4000) {
      const multiple = seconds('multiple flow', side) + figure('multiple flow', side, 'drained_ms') / 1000
      tell('r.watershed / draining and multiple flow', '≥ 5', seconds('GRASS r.watershed', side) / multiple)
      tell(
        'd3-contour / contours',
        side === 4000 ? '≥ 10' : undefined,
        seconds('contours, d3-contour', side) / seconds('contours, 1 m', side),
      )
    }
    tell('gdal_contour / contours', side === 4000 ? '≥ 1' : undefined, seconds('gdal_contour', side) / seconds('contours, 1 m', side))
    tell(
      'gdal_contour / contours, processor time',
      undefined,
      processorSeconds('gdal_contour', side) / processorSeconds('contours, 1 m', side),
    )
    tell('contours, bytes a vertex', side === 4000 ? '≤ 60' : undefined, figure('contours, 1 m', side, 'peak_bytesPerVertex'), 0)
    const deflate = 'reading DEFLATE, predictor 3'
    tell(
      "decoder's general way / reading, DEFLATE",
      large ? '≥ 3' : undefined,
      figure(deflate, side, 'generic_ms') / 1000 / seconds(deflate, side),
    )
    const lzw = 'reading LZW, predictor 3'
    if (side <= 4000)
      tell("decoder's general way / reading, LZW", large ? '≥ 5' : undefined, figure(lzw, side, 'generic_ms') / 1000 / seconds(lzw, side))
    if (side >= 10000) {
      tell('bytes a cell, the whole process of the flow kernels', '≤ 16', figure('flow, kernels, 1 worker', side, 'peak_bytesPerCell'), 1)
      // 2 GiB are 2147 MB.
      tell('resident MB, flow kernels', '≤ 2147', figure('flow, kernels, 1 worker', side, 'peak_MB'), 0)
      tell('resident MB, whole process from a GeoTIFF', '≤ 2147', figure('whole process', side, 'peak_MB'), 0)
    }
    for (const kind of ['flat', 'holes'])
      for (const name of ['flow, kernels, 1 worker', 'flow, plain', 'gradient', 'dispersive, by vector', 'multiple flow', 'contours, 1 m'])
        if (figures(name, side, kind))
          tell(`${name}: time on ${kind} / rough ground`, undefined, seconds(name, side, kind) / seconds(name, side))
  }

  const dragged = (name, what) => figure(name, 1000, what, 'hillside')
  bar('drag on 1000², median in the worker of the browser, ms', '≤ 16', dragged('drag in the browser', 'worker_median_ms'), 1)
  bar('drag on 1000², 95th of 100 in the worker of the browser, ms', '≤ 33', dragged('drag in the browser', 'worker_p95_ms'), 1)
  bar('drag on 1000², median of the library in Node, ms', '≤ 16', dragged('drag, library in Node', 'median_ms'), 1)
  bar('drag on 1000², 95th of 100 of the library in Node, ms', '≤ 33', dragged('drag, library in Node', 'p95_ms'), 1)
  bar('edit of 512² solved, ms', '≤ 16', 1000 * seconds('edit of 512 × 512 cells', 512), 1)
  bar('200 tried terrains on 500², s', '≤ 10', seconds('200 tried terrains', 500, 'hillside'), 1)
  return lines
}
