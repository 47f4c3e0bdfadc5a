/**
 * The drawing of a photo: what is painted over it, where, and how large.
 *
 * <p>{@link meterside.markup.Drawing#of} turns the marks of a photo into a flat list of primitives
 * ({@link meterside.markup.Shape}): covers, outlines, dimension lines, rings, leaders, plates, in
 * painting order. Screen, HTML, PDF and JPEG are painters of that one list and decide nothing
 * themselves: sizes, positions, line breaks and the width of every line of text are in it. {@link
 * meterside.markup.GraphicsPainter} paints with Java2D and burns redactions into pixels; {@link
 * meterside.markup.SvgPainter} writes SVG with real text. Another painter implements {@link
 * meterside.markup.Brush}.
 *
 * <p>Frame and units: points are fractions of the EXIF-upright photo's width and height, origin top
 * left, x to the right, y down. Lengths (radius, stroke, text size) are fractions of its diagonal,
 * so a callout looks the same at any size. Inside this room sizes are thought in <em>design
 * units</em>: 1/900 of the diagonal, which is one pixel when a 4:3 photo is shown 720 pixels wide.
 * {@link meterside.markup.Frame} maps both to pixels.
 *
 * <p>What a callout looks like: a ring on the part, a straight leader, a plate with number and
 * term. A plate outlined on light names a part. A plate filled dark is tied to a finding, carries
 * its number and a second line, and its rings have a dot. Ring, leader and plate have a light halo.
 * Colour carries no meaning; the difference survives black-and-white print.
 *
 * <p>Plates lay themselves out: {@link meterside.markup.LabelLayout} says over which candidates and
 * under which rules, and how good the result is.
 *
 * <p>Text is set in Roboto only, read from the program's own copy, so that every painter on every
 * system sets it alike; {@link meterside.markup.Lettering} says what happens to characters that
 * Roboto lacks.
 *
 * <p>Measuring ({@link meterside.markup.Measuring}) turns points on a photo and a known size in the
 * same plane into a length with its error band, or says why it does not. World lengths are metres.
 *
 * <p>What is delivered may be turned, straightened, cropped or brightened. {@link
 * meterside.markup.Delivered} is the one map between points of the photo and points of the
 * delivered picture, and makes its pixels, redactions first; {@link
 * meterside.markup.Drawing#delivered} is the drawing that goes over them.
 */
package meterside.markup;
