package meterside.job;

/**
 * The evidence package of a job. While one is being made or was made the job takes no other edits,
 * so that package and job stay the same; reopening with a reason ends that.
 *
 * @param bag name of the package's folder, without the path that leads there
 * @param tagManifest SHA-256 of the package's {@code tagmanifest-sha256.txt}, 64 hexadecimal
 *     digits; null while the package is being made
 */
public record Packaging(String bag, String tagManifest) {

  /** Whether the package is there; false while it is being made. */
  public boolean done() {
    return tagManifest != null;
  }
}
