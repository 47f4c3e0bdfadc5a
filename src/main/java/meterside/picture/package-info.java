/**
 * Pixels and facts of picture files.
 *
 * <p>{@link meterside.picture.PictureReader#read} takes the bytes of one file and says what is in
 * it: a {@link meterside.picture.Picture} with recorded facts, preview and thumbnail, or {@link
 * meterside.picture.NotAPicture} with a sentence. It never throws for bad input. The kind of file
 * is told by its content ({@link meterside.picture.Signature}), never by its name.
 *
 * <p>{@link meterside.picture.Pixels} decodes originals to upright sRGB pixels, {@link
 * meterside.picture.Jpegs} encodes pixels without any metadata.
 *
 * <p>{@link meterside.picture.Look} says in numbers what a photo looks like, to find look-alikes
 * and to tell kinds of scene.
 *
 * <p>What hostile files can do is bounded by construction, not by a watchdog:
 *
 * <ul>
 *   <li>Metadata: only the tags that are used are read, each of at most 64 KiB, and the number of
 *       reads in one file is limited. Maker notes, embedded thumbnails and profiles are never
 *       entered.
 *   <li>Pixels: the size in the header is checked before anything is decoded (at most 400
 *       megapixels and 65,500 pixels a side, less for kinds of file that are decoded whole), and
 *       decoders share one memory budget.
 *   <li>HEIC is decoded by native code in a process of its own, with a time limit: what takes it
 *       down ends as a sentence about that file.
 *   <li>What a decoder throws, out-of-memory and stack overflow included, ends with that file: the
 *       bytes can still be kept.
 * </ul>
 *
 * <p>Frames: <em>stored</em> pixels are as they lie in the file, <em>upright</em> ones are turned
 * by the Orientation tag. HEIC is decoded upright by its library; its width and height are upright.
 */
package meterside.picture;
