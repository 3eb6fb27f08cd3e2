declare const __SOAKLINE_VERSION__: string
