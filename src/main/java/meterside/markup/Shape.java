package meterside.markup;

/**
 * A primitive of a {@link Drawing}. Points are fractions of the upright photo's width and height;
 * lengths are fractions of its diagonal. Immutable.
 */
public sealed interface Shape permits Ring, Leader, Plate, Polygon, Dimension, Cover {

  /** Number of the mark in the job that this primitive belongs to. */
  int mark();

  /** Hands this primitive to the brush that paints its kind. */
  void paintWith(Brush brush);
}
