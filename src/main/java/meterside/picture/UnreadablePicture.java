package meterside.picture;

/** The pixels of a picture can't be had. The message is a sentence for the user. */
public final class UnreadablePicture extends Exception {
  private static final long serialVersionUID = 1L;
  private final Why why;

  /** Why the pixels can't be had. */
  enum Why {
    /** The file is damaged. */
    BROKEN,
    /** The picture is too large to decode here. */
    TOO_LARGE,
    /** The file is in order, but there is no decoder for it. */
    NO_DECODER
  }

  UnreadablePicture(Why why, String sentence, Throwable cause) {
    super(sentence, cause);
    this.why = why;
  }

  /** Whether the file is damaged, as opposed to only not decodable here. */
  public boolean damaged() {
    return why != Why.NO_DECODER;
  }
}
