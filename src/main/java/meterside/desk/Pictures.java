package meterside.desk;

import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.IntBuffer;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.concurrent.LinkedBlockingDeque;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import java.util.function.Predicate;
import java.util.function.Supplier;
import javafx.geometry.Rectangle2D;
import javafx.scene.image.Image;
import javafx.scene.image.PixelBuffer;
import javafx.scene.image.PixelFormat;
import javafx.scene.image.WritableImage;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.Orientation;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.markup.Drawing;
import meterside.markup.GraphicsPainter;
import meterside.picture.Jpegs;
import meterside.picture.PictureReader;
import meterside.picture.Pixels;
import meterside.picture.UnreadablePicture;
import meterside.trade.Trade;

/**
 * Pictures for the screen, decoded on threads of their own: what was asked for last comes first,
 * and what nobody wants any more is skipped. Held in memory by bytes, the longest unused dropped
 * first. To be used from the toolkit's thread.
 */
final class Pictures implements AutoCloseable {
  /** Room for thumbnails: some 350 of a quarter megabyte at most. */
  private static final long THUMBNAIL_BYTES = 64L << 20;

  /** Room for large pictures: two full ones of 12 megapixels, or many previews. */
  private static final long LARGE_BYTES = 112L << 20;

  /** Who waits for a picture, and whether still. */
  private record Asker(BooleanSupplier wanted, Consumer<Image> then) {}

  /** What a picture is asked for as. */
  private record Key(PhotoId id, int longSide) {}

  private final Executor ui;
  private final ThreadPoolExecutor pool;
  private final Cache thumbnails = new Cache(THUMBNAIL_BYTES);
  private final Cache large = new Cache(LARGE_BYTES);
  private final Map<Key, List<Asker>> waiting = new HashMap<>();

  /**
   * With two threads.
   *
   * @param ui where pictures are handed out
   */
  Pictures(Executor ui) {
    this.ui = ui;
    this.pool =
        new ThreadPoolExecutor(
            2,
            2,
            1,
            TimeUnit.SECONDS,
            new LastFirst(),
            task -> {
              Thread t = new Thread(task, "pictures");
              t.setDaemon(true);
              t.setPriority(Thread.NORM_PRIORITY - 1);
              return t;
            });
    pool.allowCoreThreadTimeOut(true);
  }

  /** Hands out what waits longest last. */
  private static final class LastFirst extends LinkedBlockingDeque<Runnable> {
    private static final long serialVersionUID = 1L;

    @Override
    public boolean offer(Runnable task) {
      return super.offerFirst(task);
    }
  }

  /**
   * A small picture of a photo, upright.
   *
   * @param wanted asked just before decoding; false skips it
   * @param then given the picture on the toolkit's thread, at once if it is at hand; given null if
   *     there is none
   */
  void thumbnail(
      JobFolder folder, PhotoId id, Photo photo, BooleanSupplier wanted, Consumer<Image> then) {
    Key key = new Key(id, PictureReader.THUMBNAIL);
    Image at = thumbnails.get(key);
    if (at != null) {
      then.accept(at);
      return;
    }
    ask(thumbnails, key, wanted, then, () -> loadThumbnail(folder, id, photo));
  }

  /**
   * The kept preview of a photo, upright.
   *
   * @param then as for {@link #thumbnail}
   */
  void preview(JobFolder folder, Photo photo, BooleanSupplier wanted, Consumer<Image> then) {
    Key key = new Key(photo.id(), PictureReader.PREVIEW);
    Image at = large.get(key);
    if (at != null) {
      then.accept(at);
      return;
    }
    ask(large, key, wanted, then, () -> loadPreview(folder, photo));
  }

  /**
   * The photo itself, upright, at the smallest of 1, 1/2, 1/4 and 1/8 of its size that has at least
   * so many pixels on the long side.
   *
   * @param then as for {@link #thumbnail}
   */
  void sharp(
      JobFolder folder, Photo photo, int longSide, BooleanSupplier wanted, Consumer<Image> then) {
    Key key = new Key(photo.id(), rung(photo, longSide));
    Image at = large.get(key);
    if (at != null) {
      then.accept(at);
      return;
    }
    ask(
        large,
        key,
        wanted,
        then,
        () ->
            image(
                photo.format() == Format.JPEG
                    ? Pixels.uprightAtLeast(
                        folder.originalBytes(photo),
                        photo.format(),
                        photo.orientation(),
                        key.longSide())
                    // Other decoders know no smaller scales: what is decoded is made smaller.
                    : Pixels.upright(
                        folder.originalBytes(photo),
                        photo.format(),
                        photo.orientation(),
                        key.longSide())));
  }

  /**
   * A photo with its callouts, upright, for a tile.
   *
   * @param job the job it belongs to, asked on a thread of the pool; null if it can't be read
   * @param longSide pixels of the picture's long side
   * @param then as for {@link #thumbnail}
   */
  void marked(
      JobFolder folder,
      Supplier<Job> job,
      Trade trade,
      PhotoId id,
      int longSide,
      BooleanSupplier wanted,
      Consumer<Image> then) {
    Key key = new Key(id, -longSide);
    Image at = large.get(key);
    if (at != null) {
      then.accept(at);
      return;
    }
    ask(large, key, wanted, then, () -> drawn(folder, job.get(), trade, id, longSide));
  }

  private static Image drawn(JobFolder folder, Job job, Trade trade, PhotoId id, int longSide)
      throws IOException, UnreadablePicture {
    if (job == null || !job.photos().containsKey(id) || job.marksOn(id).isEmpty()) {
      return loadThumbnail(folder, id, job == null ? null : job.photos().get(id));
    }
    Optional<byte[]> kept = folder.preview(id);
    Photo photo = job.photo(id);
    BufferedImage whole =
        kept.isPresent()
            ? Pixels.upright(kept.get(), Format.JPEG, Orientation.NORMAL, longSide)
            : Pixels.upright(
                folder.originalBytes(photo), photo.format(), photo.orientation(), longSide);
    return image(GraphicsPainter.burn(whole, Drawing.of(job, photo, trade), true));
  }

  /** Forgets the pictures with callouts of a job's photos: what is drawn on them changed. */
  void forgetMarked() {
    large.drop(k -> k.longSide() < 0);
  }

  /** The most pixels of a patch of a photo that is too large to be held whole. */
  static final double MOST_PATCH = 12e6;

  /** A photo of more pixels is never held whole at its full size. */
  private static final long MOST_WHOLE = 26_000_000;

  /** Pixels on the long side of the finest step at which a photo is held whole. */
  static int finestWhole(Photo photo) {
    int part = 1;
    while (part < 8 && (long) photo.width() * photo.height() / part / part > MOST_WHOLE) {
      part *= 2;
    }
    return Math.max(1, Math.max(photo.width(), photo.height()) / part);
  }

  /** Whether parts of a photo can be read in its own pixels. */
  static boolean canPatch(Photo photo) {
    return photo.width() > 0 && photo.height() > 0;
  }

  /**
   * A part of a photo, upright, in its own pixels. Held by whoever shows it, not here.
   *
   * @param part in pixels of the upright photo
   * @param then as for {@link #thumbnail}
   */
  void region(
      JobFolder folder,
      Photo photo,
      Rectangle2D part,
      BooleanSupplier wanted,
      Consumer<Image> then) {
    pool.execute(
        () -> {
          if (!wanted.getAsBoolean()) {
            return;
          }
          Image got = null;
          try {
            got =
                image(
                    Pixels.uprightRegion(
                        folder.originalBytes(photo),
                        photo.format(),
                        photo.orientation(),
                        new java.awt.Rectangle(
                            (int) part.getMinX(),
                            (int) part.getMinY(),
                            (int) part.getWidth(),
                            (int) part.getHeight())));
          } catch (IOException | UnreadablePicture | ArchiveException | OutOfMemoryError e) {
            got = null; // what is shown already stays
          }
          Image image = got;
          ui.execute(() -> then.accept(image));
        });
  }

  /** Pixels on the long side of the step that serves a size. */
  static int rung(Photo photo, int longSide) {
    int full = Math.max(photo.width(), photo.height());
    int rung = Math.max(1, full);
    for (int part = 2; part <= 8 && full / part >= longSide; part *= 2) {
      rung = full / part;
    }
    return rung;
  }

  private interface Load {
    Image run() throws IOException, UnreadablePicture;
  }

  private void ask(Cache cache, Key key, BooleanSupplier wanted, Consumer<Image> then, Load load) {
    List<Asker> others = waiting.get(key);
    if (others != null) {
      others.add(new Asker(wanted, then));
      return;
    }
    waiting.put(key, new ArrayList<>(List.of(new Asker(wanted, then))));
    pool.execute(
        () -> {
          boolean skipped = !wanted.getAsBoolean();
          Image got = null;
          if (!skipped) {
            try {
              got = load.run();
            } catch (IOException | UnreadablePicture | ArchiveException e) {
              got = null; // the view says that there is no picture; the facts say why
            } catch (OutOfMemoryError e) {
              got = null; // a picture that does not fit must not take the window down
            }
          }
          Image image = got;
          ui.execute(() -> loaded(cache, key, image, skipped, load));
        });
  }

  private void loaded(Cache cache, Key key, Image image, boolean skipped, Load load) {
    if (image != null) {
      cache.put(key, image);
    }
    List<Asker> all = waiting.remove(key);
    if (all == null) {
      return;
    }
    for (Asker a : all) {
      if (!skipped) {
        a.then().accept(image);
      } else if (a.wanted().getAsBoolean()) {
        // The first to ask had turned away, but others came or it came back.
        ask(cache, key, a.wanted(), a.then(), load);
      }
    }
  }

  private static Image loadThumbnail(JobFolder folder, PhotoId id, Photo photo)
      throws IOException, UnreadablePicture {
    Optional<byte[]> kept = folder.thumbnail(id);
    if (kept.isPresent()) {
      return whole(new Image(new ByteArrayInputStream(kept.get())));
    }
    if (photo == null) {
      return null;
    }
    // The derived pictures were deleted: make this one again.
    BufferedImage made =
        Pixels.upright(
            folder.originalBytes(photo),
            photo.format(),
            photo.orientation(),
            PictureReader.THUMBNAIL);
    folder.keepThumbnail(id, Jpegs.encode(made, 0.8f));
    return image(made);
  }

  private static Image loadPreview(JobFolder folder, Photo photo)
      throws IOException, UnreadablePicture {
    Optional<byte[]> kept = folder.preview(photo.id());
    if (kept.isPresent()) {
      return whole(new Image(new ByteArrayInputStream(kept.get())));
    }
    BufferedImage made =
        Pixels.upright(
            folder.originalBytes(photo),
            photo.format(),
            photo.orientation(),
            PictureReader.PREVIEW);
    folder.keepPreview(photo.id(), Jpegs.encode(made, 0.85f));
    return image(made);
  }

  private static Image whole(Image image) {
    return image.isError() ? null : image;
  }

  /** The same pixels for the screen, without a copy where the layout allows it. */
  static Image image(BufferedImage from) {
    BufferedImage rgb = from;
    if (from.getType() != BufferedImage.TYPE_INT_RGB
        && from.getType() != BufferedImage.TYPE_INT_ARGB_PRE) {
      rgb = new BufferedImage(from.getWidth(), from.getHeight(), BufferedImage.TYPE_INT_ARGB_PRE);
      rgb.createGraphics().drawImage(from, 0, 0, null);
    }
    int[] pixels = ((DataBufferInt) rgb.getRaster().getDataBuffer()).getData();
    if (rgb.getType() == BufferedImage.TYPE_INT_RGB) {
      for (int i = 0; i < pixels.length; i++) {
        pixels[i] |= 0xFF000000;
      }
    }
    return new WritableImage(
        new PixelBuffer<>(
            rgb.getWidth(),
            rgb.getHeight(),
            IntBuffer.wrap(pixels),
            PixelFormat.getIntArgbPreInstance()));
  }

  /** Forgets a job's pictures; called when another job is opened. */
  void forget() {
    thumbnails.clear();
    large.clear();
  }

  @Override
  public void close() {
    pool.shutdownNow();
  }

  /** The longest unused goes first. */
  private static final class Cache {
    private final LinkedHashMap<Key, Image> held = new LinkedHashMap<>(64, 0.75f, true);
    private final long most;
    private long bytes;

    Cache(long most) {
      this.most = most;
    }

    Image get(Key key) {
      return held.get(key);
    }

    void put(Key key, Image image) {
      Image was = held.put(key, image);
      bytes += size(image) - (was == null ? 0 : size(was));
      var oldest = held.entrySet().iterator();
      while (bytes > most && held.size() > 1 && oldest.hasNext()) {
        Map.Entry<Key, Image> e = oldest.next();
        if (!e.getKey().equals(key)) {
          bytes -= size(e.getValue());
          oldest.remove();
        }
      }
    }

    void drop(Predicate<Key> which) {
      held.entrySet()
          .removeIf(
              e -> {
                boolean gone = which.test(e.getKey());
                bytes -= gone ? size(e.getValue()) : 0;
                return gone;
              });
    }

    void clear() {
      held.clear();
      bytes = 0;
    }

    private static long size(Image image) {
      return (long) (image.getWidth() * image.getHeight() * 4);
    }
  }
}
