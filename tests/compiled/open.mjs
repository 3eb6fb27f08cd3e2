// Opens the compiled kernels for all tests of a file.
import { openKernels } from 'soakline/kernels'

globalThis.kernelsOfTheTests = await openKernels()
if (!globalThis.kernelsOfTheTests) throw new Error('no compiled kernels in this Node')
