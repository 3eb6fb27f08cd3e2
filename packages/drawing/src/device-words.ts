import { inLanguage, type Voice } from './voice.js'

/** What the sheet says of being kept on a device, in English. Spanish has the same keys, or does not compile. */
const english = {
  title: 'On this device',
  install: 'Put it among the apps',
  byHand: 'To put it among the apps: in the browser’s own menu choose to install it, or to add it to the home screen.',
  installed: 'It stands among the apps of this device.',
  offline: 'It works without a network: the page, the demo and your own files are all on this device. Nothing has to be fetched.',
  notOffline: 'It is not yet kept for use without a network. Leave it open a moment while there is one.',
}

/** The words about where the sheet is kept. */
export type DeviceWords = typeof english

const spanish: DeviceWords = {
  title: 'En este equipo',
  install: 'Ponerla entre las aplicaciones',
  byHand: 'Para ponerla entre las aplicaciones: en el menú del navegador, elija instalarla o agregarla a la pantalla de inicio.',
  installed: 'Está entre las aplicaciones de este equipo.',
  offline: 'Funciona sin red: la página, la muestra y sus archivos están en este equipo. No hay que traer nada.',
  notOffline: 'Todavía no está guardada para usarla sin red. Déjela abierta un momento mientras haya señal.',
}

/** What the sheet says of being kept on a device. */
export const deviceWords = (voice: Pick<Voice, 'language'>): DeviceWords => inLanguage(voice, { en: english, es: spanish })
