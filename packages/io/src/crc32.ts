/** Remainders of single bytes by the polynomial of ZIP and PNG. */
const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let value = byte
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1
  return value >>> 0
})

/** The check sum of bytes as ZIP and PNG write it. Source: ISO 3309, as PNG (2nd ed., 2003) gives it in annex D. */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (let k = 0; k < bytes.length; k++) crc = TABLE[(crc ^ bytes[k]!) & 0xff]! ^ (crc >>> 8)
  return (crc ^ 0xffffffff) >>> 0
}
