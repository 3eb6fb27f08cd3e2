import type { Sentence } from './templates.js'

/** Refusals of kinds of files: grids of text, tiles, pictures, archives, layers of vectors. */
export const REFUSED_FORMATS = {
  'archive/damaged': {
    en: 'The archive is damaged or was cut off. Fetch it or pack it again.',
    es: 'El archivo comprimido está dañado o se cortó. Bájelo o empáquelo otra vez.',
  },
  'archive/locked': {
    en: 'The archive is locked by a password. Unpack it and open the file itself.',
    es: 'El archivo comprimido tiene contraseña. Desempáquelo y abra el archivo de adentro.',
  },
  'archive/nested': {
    en: 'The archive holds another archive. Unpack it once and open the inner one.',
    es: 'El archivo comprimido trae otro adentro. Desempáquelo una vez y abra el de adentro.',
  },
  'archive/no-ground': {
    en: 'The archive holds no heights that are read here. Unpack it, and export the ground as GeoTIFF.',
    es: 'El archivo comprimido no trae alturas que aquí se lean. Desempáquelo y exporte el terreno como GeoTIFF.',
  },
  'archive/no-such-file': {
    en: 'The archive holds no file of that name.',
    es: 'El archivo comprimido no trae un archivo con ese nombre.',
  },
  'archive/overlapping': {
    en: 'Files in the archive share the same bytes, as no packing program writes them. It is damaged or hostile; do not use it.',
    es: 'Archivos de adentro comparten los mismos bytes, como no los escribe ningún programa. Está dañado o es hostil; no lo use.',
  },
  'archive/several-files': {
    en: 'The archive holds several files that could be meant[: {files}]. Say which one.',
    es: 'El archivo comprimido trae varios archivos posibles[: {files}]. Diga cuál.',
  },
  'archive/too-large': {
    en: 'The archive would unpack to more than can be held. Cut out the part that is needed.',
    es: 'El archivo comprimido ocuparía más de lo que cabe al abrirse. Recorte la parte que hace falta.',
  },
  'archive/too-many-files': {
    en: 'The archive holds too many files[: {files}]. Unpack it and open the one that is meant.',
    es: 'El archivo comprimido trae demasiados archivos[: {files}]. Desempáquelo y abra el que hace falta.',
  },
  'archive/unknown-packing': {
    en: 'The archive is packed in a way that is not read here. Pack it again as an ordinary ZIP, or open the file itself.',
    es: 'El archivo comprimido está empacado de un modo que aquí no se lee. Empáquelo como ZIP común, o abra el archivo de adentro.',
  },
  'ascii-grid/header': {
    en: 'The lines above the numbers of this grid cannot be used: one is missing, doubled or not known. Have the grid exported again.',
    es: 'No sirven las líneas que van antes de los números de esta cuadrícula: falta una, está dos veces o no se conoce. Pida que la exporten otra vez.',
  },
  'ascii-grid/number': {
    en: 'Something in the grid is not a number[: row {row}, column {column}]. With decimal commas, export it with points.',
    es: 'Algo en la cuadrícula no es un número[: fila {row}, columna {column}]. Si lleva comas decimales, expórtela con puntos.',
  },
  'ascii-grid/too-many-numbers': {
    en: 'The grid goes on after the number of cells that it promises[: {columns} by {rows}]. Have it exported again.',
    es: 'La cuadrícula sigue después de las celdas que promete[: {columns} por {rows}]. Pida que la exporten otra vez.',
  },
  'colours/bad-code': {
    en: 'That base and step are no way of writing heights. Look the two numbers up at the publisher.',
    es: 'Esa base y ese paso no son un modo de escribir alturas. Busque los dos números con quien lo publicó.',
  },
  'colours/unknown-code': {
    en: 'The file is a picture. If heights are packed into its colors, it does not say how. Say which way its publisher names.',
    es: 'El archivo es una imagen. Si trae alturas en sus colores, no dice cómo. Diga cuál es el modo que nombra quien la publicó.',
  },
  'dxf/binary': {
    en: 'The drawing is a DXF in binary, which is not read here. Save it again as DXF in text (ASCII).',
    es: 'El dibujo es un DXF binario, que aquí no se lee. Guárdelo otra vez como DXF de texto (ASCII).',
  },
  'dxf/broken': {
    en: 'The drawing cannot be read[: look at line {line}]. It may have been cut off on its way; save or fetch it again.',
    es: 'El dibujo no se puede leer[: mire la línea {line}]. Quizá se cortó en el camino; guárdelo o tráigalo otra vez.',
  },
  'dxf/too-large': {
    en: 'The drawing holds too many shapes[: more than {most}]. Keep the layers that lie on the holding.',
    es: 'El dibujo trae demasiadas figuras[: más de {most}]. Deje las capas que están en el predio.',
  },
  'grid/nodata-is-a-height': {
    en: 'The file names a value that means “no data”, but that value lies among its heights, as 0 does on a coast[: {count} cells hold {value}]. Say whether they are gaps or ground.',
    es: 'El archivo nombra un valor que significa «sin datos», pero ese valor está entre sus alturas, como el 0 en una costa[: lo tienen {count} celdas, es {value}]. Diga si son huecos o suelo.',
  },
  'grid/other-format': {
    en: 'This kind of file is known but not read here[: {format}]. Export the ground as GeoTIFF or as an ASCII grid, or unpack it first.',
    es: 'Este tipo de archivo se conoce, pero aquí no se lee[: {format}]. Exporte el terreno como GeoTIFF o como cuadrícula ASCII, o desempáquelo antes.',
  },
  'height-tile/name': {
    en: 'A height tile says where it lies by its name alone, such as N36W081.hgt. Give the file its own name again.',
    es: 'Un mosaico de alturas solo dice dónde está por su nombre, como N36W081.hgt. Devuélvale su nombre al archivo.',
  },
  'height-tile/size': {
    en: 'The height tile has another size than such tiles have. It was cut off on its way; fetch it again.',
    es: 'El mosaico de alturas no tiene el tamaño que tienen. Se cortó en el camino; bájelo otra vez.',
  },
  'picture/damaged': {
    en: 'The picture is damaged or was cut off. Fetch it again.',
    es: 'La imagen está dañada o se cortó. Bájela otra vez.',
  },
  'picture/kind': {
    en: 'The picture is of a kind that holds no heights that could be read here. Ask its publisher for the elevation values.',
    es: 'La imagen es de un tipo que no trae alturas legibles aquí. Pida los valores de altura a quien la publicó.',
  },
  'tile/bad-place': {
    en: 'There is no map tile with that address[: {z}/{x}/{y}]. Check the three numbers.',
    es: 'No hay mosaico con esa dirección[: {z}/{x}/{y}]. Revise los tres números.',
  },
  'tile/not-square': {
    en: 'A map tile is a square, and this picture is not. Open the tile as it was fetched.',
    es: 'Un mosaico de mapa es cuadrado y esta imagen no. Ábralo como se bajó.',
  },
  'tile/unknown-place': {
    en: 'The map tile does not say where it lies. Give the three numbers of its address: zoom, x and y.',
    es: 'El mosaico no dice dónde está. Dé los tres números de su dirección: zoom, x e y.',
  },
  'tiles/not-in-line': {
    en: 'The cells of one tile lie between those of another. Draw them on one grid first.',
    es: 'Las celdas de un mosaico caen entre las de otro. Páselos antes a una sola cuadrícula.',
  },
  'tiles/not-rasters': {
    en: 'Only rasters can be joined. Say which file of the archive is meant.',
    es: 'Solo se pueden unir rásteres. Diga qué archivo de adentro es.',
  },
  'tiles/other-cells': {
    en: 'The tiles have cells of different sizes. Open them one at a time, or draw them on one grid first.',
    es: 'Los mosaicos tienen celdas de distinto tamaño. Ábralos de uno en uno, o páselos antes a una sola cuadrícula.',
  },
  'tiles/other-system': {
    en: 'The tiles lie in different coordinate systems. Bring them into one first.',
    es: 'Los mosaicos están en distintos sistemas de coordenadas. Páselos antes a uno solo.',
  },
  'tiles/other-unit': {
    en: 'The heights of the tiles are counted differently, so a step would stand between them. Bring them to one unit and zero first.',
    es: 'Las alturas de los mosaicos se cuentan de distinto modo; quedaría un escalón entre ellos. Páselas antes a una sola unidad y un solo cero.',
  },
  'tiles/turned': {
    en: 'A tile is turned and cannot be joined. Turn it north-up first.',
    es: 'Un mosaico está girado y no se puede unir. Póngalo antes con el norte arriba.',
  },
  'point-table/header': {
    en: 'The first line of the table must name each column once, and among them lon and lat, or easting_m and northing_m.',
    es: 'La primera línea de la tabla debe nombrar cada columna una vez, entre ellas lon y lat, o easting_m y northing_m.',
  },
  'point-table/row': {
    en: 'A row of the table has no place that can be read, or too many cells[: row {row}]. With decimal commas, put semicolons between the columns.',
    es: 'Una fila de la tabla no tiene un lugar legible, o tiene celdas de más[: la {row}]. Con coma decimal, separe las columnas con punto y coma.',
  },
  'shapefile/not-shapefile': {
    en: 'The .shp file does not begin as a shapefile does. Export the layer again.',
    es: 'El archivo .shp no empieza como un shapefile. Exporte la capa otra vez.',
  },
  'shapefile/table': {
    en: 'The table of the shapefile (.dbf) cannot be read. Export the layer again.',
    es: 'La tabla del shapefile (.dbf) no se puede leer. Exporte la capa otra vez.',
  },
  'shapefile/truncated': {
    en: 'The .shp file ends too early: it was cut off on its way. Fetch or export it again.',
    es: 'El archivo .shp termina antes de tiempo: se cortó en el camino. Bájelo o expórtelo otra vez.',
  },
  'line/several': {
    en: 'The file holds several lines[: {lines}]; which one is the swale is not clear. Say which, or export that one alone.',
    es: 'El archivo trae varias líneas[: {lines}]; no se sabe cuál es la zanja. Diga cuál, o exporte solo esa.',
  },
  'line/no-such-line': {
    en: 'The file holds no one line of that name or number.',
    es: 'El archivo no trae una sola línea con ese nombre o número.',
  },
  'vector/not-text': {
    en: 'The file is no text in UTF-8. Export the layer again as GeoJSON or KML.',
    es: 'El archivo no es texto en UTF-8. Exporte la capa otra vez como GeoJSON o KML.',
  },
  'vector/other-format': {
    en: 'This kind of file is known but not read here as features[: {format}]. Export the layer as GeoJSON or KML, or as a shapefile packed into one ZIP.',
    es: 'Este tipo de archivo se conoce, pero aquí no se lee como elementos[: {format}]. Exporte la capa como GeoJSON o KML, o como shapefile en un solo ZIP.',
  },
  'vector/parts-missing': {
    en: 'The archive holds no layer that is read here. Pack the .shp, .dbf and .prj files of a shapefile together.',
    es: 'El archivo comprimido no trae una capa que aquí se lea. Empaque juntos los archivos .shp, .dbf y .prj del shapefile.',
  },
  'vector/system-unknown': {
    en: 'The file does not say in which coordinate system its places lie. Bring its .prj file with it in one ZIP, or export it in longitude and latitude.',
    es: 'El archivo no dice en qué sistema de coordenadas están sus lugares. Traiga también su archivo .prj en un mismo ZIP, o expórtelo en longitud y latitud.',
  },
  'vector/unit-unknown': {
    en: 'The drawing does not say in which unit it is drawn. Feet taken for meters would make every length wrong by a factor of 3.28. Say which it is.',
    es: 'El dibujo no dice en qué unidad está. Tomar pies por metros cambiaría cada largo por un factor de 3,28. Diga cuál es.',
  },
  'vector/unknown-format': {
    en: 'This is no layer of features that is read here. Export it as GeoJSON.',
    es: 'Esta no es una capa de elementos que aquí se lea. Expórtela como GeoJSON.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
