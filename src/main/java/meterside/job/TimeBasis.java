package meterside.job;

/** Where a photo's true time comes from. */
public enum TimeBasis {
  /** The camera's time, with the offset from UTC that it recorded. */
  CAMERA_WITH_OFFSET,
  /** The camera's time, read in the job's zone. */
  CAMERA,
  /** The time of the GPS fix, since the camera's is missing. */
  GPS,
  /** The file's time, since nothing else is there; it says at most when it was copied. */
  FILE,
  /** Nothing at all is known. */
  NONE
}
