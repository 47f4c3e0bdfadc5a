package meterside.job;

/** How a length was measured in a photo. */
public enum MeasureWay {
  /** By a known length beside it, in the same plane, seen nearly square-on. */
  ALONG_LENGTH,
  /** On a plane, by a rectangle of known size in it. */
  ON_PLANE
}
