package meterside.markup;

/**
 * How large marks are, in design units: 1/900 of the photo's diagonal, which is one pixel when a
 * 4:3 photo is shown 720 pixels wide. At that size the type is 13 and 12 pixels high, as on the
 * rest of the screen.
 */
final class Sizes {
  /** Design units in a diagonal. */
  static final double UNITS = 900;

  /**
   * How much larger marks are on delivered pictures: a photo of four to three that is 3 inches wide
   * then has type of 6 points.
   */
  static final double DELIVERED = 1.5;

  static final double RING = 7.5;
  static final double RING_STROKE = 2;
  static final double DOT = 2.4;
  static final double HALO = 1.7;
  static final double LEADER_STROKE = 1.6;
  static final double OUTLINE_STROKE = 2;

  static final double DIMENSION_STROKE = 1.8;

  /** Half the length of the ticks of a dimension line. */
  static final double TICK = 7;

  static final double CORNER = 3;
  static final double BORDER = 1.5;
  static final double PAD = 9;
  static final double FIRST_TYPE = 13;
  static final double SECOND_TYPE = 12;
  static final double ONE_LINE_HEIGHT = 26;
  static final double TWO_LINE_HEIGHT = 42;
  static final double FIRST_BASELINE = 17.6;
  static final double FIRST_OF_TWO_BASELINE = 17.2;
  static final double SECOND_BASELINE = 33.6;

  /** Widest text on a plate; longer text is shortened. */
  static final double WIDEST_TEXT = 240;

  /** How far out the ink of a ring reaches. */
  static final double RING_INK = RING + RING_STROKE / 2;

  /** How far out a ring reaches, its halo included. */
  static final double RING_REACH = RING_INK + HALO;

  private Sizes() {}
}
