package meterside.job;

/** The kinds of picture file that are kept as photos. */
public enum Format {
  /** JPEG (ISO/IEC 10918-1). */
  JPEG,
  /** PNG (ISO/IEC 15948). */
  PNG,
  /** TIFF 6.0. */
  TIFF,
  /** HEIC (ISO/IEC 23008-12). */
  HEIC
}
