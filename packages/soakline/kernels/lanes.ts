// Numbers side by side in one vector of 128 bits: how the kernels of shared water round them, widen them and put them together.

/** Halves up, as `Math.round` does. */
export function rounded(x: v128): v128 {
  const up = f64x2.ceil(x)
  return f64x2.sub(up, v128.and(f64x2.gt(f64x2.sub(up, f64x2.splat(0.5)), x), f64x2.splat(1)))
}

/** The lower two of four float32, in float64. */
export function low2(x: v128): v128 {
  return f64x2.promote_low_f32x4(x)
}

/** The upper two of four float32, in float64. */
export function high2(x: v128): v128 {
  return f64x2.promote_low_f32x4(v128.shuffle<i32>(x, x, 2, 3, 2, 3))
}

/** Four masks of 32 bits out of two of 64 and two more. */
export function narrowed(low: v128, high: v128): v128 {
  return v128.shuffle<i32>(low, high, 0, 2, 4, 6)
}

/** Four numbers of 32 bits out of the lower two of each. */
export function joined(low: v128, high: v128): v128 {
  return v128.shuffle<i32>(low, high, 0, 1, 4, 5)
}
