export { type AddressOptions, addressSource, fetchWhole, type KeptStretches } from './address-source.js'
export { archiveHolds } from './archive-contents.js'
export { type AsBuiltCsvOptions, type AsBuiltRow, readAsBuilt } from './as-built-csv.js'
export { type BringOptions, type BroughtGround, bringGround, hostOfSource } from './bring-ground.js'
export { type ByteSource, blobSource, bytesSource, UNKNOWN_SIZE, wholeOf } from './byte-source.js'
export { COLOUR_CODES } from './colour-heights.js'
export { groundScale, type LonLat, localProjection, openProjection, type Projection, utmCode } from './crs.js'
export { type CsvCell, writeCsv } from './csv.js'
export { cutGround } from './cut-ground.js'
export { type DailyRainOptions, type DailyRainReading, readDailyRain } from './daily-rain.js'
export { type DxfOptions, writeDxf } from './dxf.js'
export {
  FIELD_GROUPS,
  type FieldGroup,
  type FieldPlan,
  type FieldWords,
  fieldDrawing,
  fieldGeoJson,
  placeOnEarth,
  stakesCsv,
} from './field-files.js'
export type { FieldDrawing, FieldReading, FieldWhat, NamedArea, NamedLine, NamedPoint } from './field-shapes.js'
export {
  type FileBounds,
  type FindOptions,
  type FittingSystem,
  type KnownPoint,
  standsOut,
  systemsNear,
  systemsThrough,
} from './find-system.js'
export {
  type DrawnFeature,
  featureCollection,
  lonLatExtent,
  type PlainFeature,
  type PlainGeometry,
  readFeatures,
  readGeoJson,
  readLine,
  type VectorOptions,
  writeGeoJson,
} from './geojson.js'
export { outlineOfGeoTiff, type RasterOutline, readGeoTiff, readGeoTiffFrom, readStoredGeoTiff } from './geotiff.js'
export { readGpx, writeGpx } from './gpx.js'
export { type GroundReport, groundHash, type Reading, toGround } from './ground.js'
export { answersKept, optionsKept } from './ground-answers.js'
export { claimsGround, type GroundMark, looksLikeArchive, looksLikeRaster } from './ground-marks.js'
export {
  GROUND_SOURCES,
  type GroundSource,
  groundSourceFrom,
  MAP_DATA_SOURCES,
  type MapDataSource,
  mapDataSourceFrom,
  type Trust,
} from './ground-sources.js'
export { type Box, boxRound, type GroundWindow, refuseBadBox } from './ground-window.js'
export { readHollowChoices } from './hollow-choices.js'
export type { NativeInflate } from './inflate.js'
export { type KmlOptions, readKml, writeKml } from './kml.js'
export { readLevelBook, type WrittenBook } from './level-book-csv.js'
export { lineFormat, readLineFile } from './line-file.js'
export { bringMapData, MAP_DATA_KINDS, type MapData, type MapDataKind, mapDataQuery, readMapData } from './map-data.js'
export { type MeasuredStormOptions, readMeasuredStorm } from './measured-storm.js'
export { type AskOptions, allowedOnly, type Fetch, hostOf } from './network.js'
export { type FileToPack, packZip } from './pack-zip.js'
export { groundInside, type UnpackedGround, withGroundInside, withoutGroundInside } from './plan-ground.js'
export { featureInPlan, placeInPlan, placeOnGround, readPlanFeatures } from './plan-places.js'
export { looksLikePointTable } from './point-table.js'
export { looksLikePrecipitationFrequency, type PrecipitationFrequency, readPrecipitationFrequency } from './precipitation-frequency.js'
export { type RainRow, readRainTable } from './rain-csv.js'
export { type DateOrder, isRainRecord, RAIN_UNITS, type RainSeriesOptions, type RainUnit } from './rain-series-table.js'
export { looksLikeDxf } from './read-dxf.js'
export { ELEVATION_FORMATS, type ElevationFormat, readElevation, readElevationFrom } from './read-elevation.js'
export { isFeatureKind, withKind } from './said-kind.js'
export { sha256Hex } from './sha256.js'
export { readSoilRecord } from './soil-record.js'
export { looksLikeSqlite } from './sqlite.js'
export type { ColourHeights, ReadOptions, StoredRaster, TileAddress } from './stored-raster.js'
export { readSurveyGround } from './survey-ground.js'
export { readSurveyPoints, type SurveyOptions, type SurveyReading, type TriangulatedPoints } from './survey-points.js'
export { type SurveyColumn, surveyTableKind } from './survey-table.js'
export { looksLikeTiff } from './tiff-directory.js'
export { joinedLayers, readVectorFile, type VectorFile } from './vector-file.js'
export {
  type LayerOutline,
  outlineOfText,
  readVectorLayers,
  type VectorFileOptions,
  type VectorLayer,
  type VectorLayers,
} from './vector-layers.js'
export { filledVoids, type Void, type VoidList, voidsOf } from './voids.js'
export { type GeoTiffOptions, type WritableGrid, writeGeoTiff } from './write-geotiff.js'
export type { Provenance } from './write-stored-raster.js'
export { childText, everyElement, parseXml, type XmlElement, xmlText } from './xml.js'
