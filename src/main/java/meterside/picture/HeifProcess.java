package meterside.picture;

import java.awt.Rectangle;
import java.awt.image.BufferedImage;
import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.EOFException;
import java.io.FileDescriptor;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.ScheduledFuture;
import java.util.concurrent.ScheduledThreadPoolExecutor;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;

/**
 * Decodes HEIC in processes of their own. The decoder is native code that reads hostile bytes: what
 * takes it down, or never ends, takes down a helper and not the program.
 *
 * <p>A helper is this program's Java with this class as its entry point. It takes requests on its
 * input (length, bytes, long side, most pixels, the part that is wanted), answers on its output (0,
 * width, height, three bytes a pixel; or 1 and a text), and ends with its input or when it was idle
 * for a while. Where no helper can be started, as in a trimmed run-time image, decoding is done in
 * this process.
 */
final class HeifProcess {
  private static final int MOST_HELPERS =
      Math.max(1, Math.min(4, Runtime.getRuntime().availableProcessors()));

  /** A 48-megapixel photo takes some seconds; what takes longer than this never ends. */
  private static final long MOST_SECONDS = Long.getLong("meterside.heic.seconds", 60);

  private static final long IDLE_MILLIS = 20_000;
  private static final Semaphore FREE = new Semaphore(MOST_HELPERS, true);
  private static final Deque<HeifProcess> IDLE = new ArrayDeque<>();
  private static final ScheduledExecutorService WATCH = watch();

  private final Process process;
  private final DataOutputStream requests;
  private final DataInputStream answers;

  private HeifProcess(Process process) {
    this.process = process;
    requests = new DataOutputStream(new BufferedOutputStream(process.getOutputStream(), 1 << 16));
    answers = new DataInputStream(new BufferedInputStream(process.getInputStream(), 1 << 16));
  }

  /** The helper crashed or ran out of time over a file. */
  static final class Died extends IOException {
    private static final long serialVersionUID = 1L;

    Died(Throwable cause) {
      super("the decoder ended", cause);
    }
  }

  /**
   * Decodes the primary image, upright, in sRGB, not larger than asked.
   *
   * @param longSide most pixels on the long side, 0 for the full size
   * @param mostPixels refuse above so many
   * @param part the part that is wanted, in pixels of the upright picture; null for all
   * @throws Died if the file took the decoder down or too long
   * @throws IOException if libheif refuses the file
   */
  static BufferedImage decode(byte[] bytes, int longSide, long mostPixels, Rectangle part)
      throws IOException {
    FREE.acquireUninterruptibly();
    try {
      HeifProcess helper = idle();
      if (helper != null) {
        try {
          return helper.ask(bytes, longSide, mostPixels, part);
        } catch (Died e) {
          // It may have ended of itself just now, having been idle: a fresh one will tell.
          helper.end();
        }
      }
      helper = start();
      if (helper == null) {
        BufferedImage whole = HeifDecoder.decode(bytes, longSide, mostPixels);
        return part == null ? whole : cut(whole, part);
      }
      return helper.ask(bytes, longSide, mostPixels, part);
    } finally {
      FREE.release();
    }
  }

  private BufferedImage ask(byte[] bytes, int longSide, long mostPixels, Rectangle part)
      throws IOException {
    ScheduledFuture<?> limit =
        WATCH.schedule(process::destroyForcibly, MOST_SECONDS, TimeUnit.SECONDS);
    BufferedImage image;
    String refused;
    try {
      requests.writeInt(bytes.length);
      requests.write(bytes);
      requests.writeInt(longSide);
      requests.writeLong(mostPixels);
      requests.writeBoolean(part != null);
      if (part != null) {
        requests.writeInt(part.x);
        requests.writeInt(part.y);
        requests.writeInt(part.width);
        requests.writeInt(part.height);
      }
      requests.flush();
      refused = answers.readByte() == 0 ? null : answers.readUTF();
      image = refused == null ? image(answers) : null;
    } catch (IOException e) {
      end();
      throw new Died(e);
    } finally {
      limit.cancel(false);
    }
    synchronized (IDLE) {
      IDLE.push(this);
    }
    if (refused != null) {
      throw new IOException(refused);
    }
    return image;
  }

  private static BufferedImage image(DataInputStream in) throws IOException {
    int w = in.readInt();
    int h = in.readInt();
    if (w <= 0 || h <= 0 || (long) w * h > Integer.MAX_VALUE / 4) {
      throw new EOFException("no picture");
    }
    BufferedImage out = Rgb.create(w, h);
    int[] to = Rgb.pixels(out);
    byte[] row = new byte[w * 3];
    for (int y = 0, i = 0; y < h; y++) {
      in.readFully(row);
      for (int k = 0; k < row.length; k += 3) {
        to[i++] = (row[k] & 0xff) << 16 | (row[k + 1] & 0xff) << 8 | row[k + 2] & 0xff;
      }
    }
    return out;
  }

  private void end() {
    process.destroyForcibly();
  }

  private static HeifProcess idle() {
    synchronized (IDLE) {
      while (!IDLE.isEmpty()) {
        HeifProcess helper = IDLE.pop();
        if (helper.process.isAlive()) {
          return helper;
        }
      }
    }
    return null;
  }

  /** A new helper, or null if none can be started. */
  private static HeifProcess start() {
    Path java = Path.of(System.getProperty("java.home"), "bin", "java");
    if (!Files.exists(java) && !Files.exists(java.resolveSibling("java.exe"))) {
      return null;
    }
    List<String> command = new ArrayList<>();
    command.add(java.toString());
    command.addAll(
        List.of(
            "-Xmx640m",
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1",
            "-XX:-UsePerfData",
            "-Djava.awt.headless=true"));
    if (Runtime.version().feature() >= 22) {
      command.add("--enable-native-access=ALL-UNNAMED");
    }
    command.add("-cp");
    command.add(System.getProperty("java.class.path"));
    command.add(HeifProcess.class.getName());
    try {
      return new HeifProcess(
          new ProcessBuilder(command).redirectError(ProcessBuilder.Redirect.DISCARD).start());
    } catch (IOException e) {
      return null;
    }
  }

  private static ScheduledExecutorService watch() {
    ScheduledThreadPoolExecutor executor =
        new ScheduledThreadPoolExecutor(
            1,
            task -> {
              Thread t = new Thread(task, "heic-watch");
              t.setDaemon(true);
              return t;
            });
    executor.setRemoveOnCancelPolicy(true);
    return executor;
  }

  /** The helper's side. */
  public static void main(String[] args) {
    // Whatever a library prints must not get between the answers.
    DataOutputStream answers =
        new DataOutputStream(
            new BufferedOutputStream(new FileOutputStream(FileDescriptor.out), 1 << 16));
    System.setOut(System.err);
    DataInputStream requests =
        new DataInputStream(
            new BufferedInputStream(new FileInputStream(FileDescriptor.in), 1 << 16));
    ScheduledExecutorService watch = watch();
    Held held = null;
    try {
      while (true) {
        ScheduledFuture<?> idle =
            watch.schedule(() -> Runtime.getRuntime().halt(0), IDLE_MILLIS, TimeUnit.MILLISECONDS);
        int length = requests.readInt();
        idle.cancel(false);
        byte[] bytes = requests.readNBytes(length);
        int longSide = requests.readInt();
        long mostPixels = requests.readLong();
        Rectangle part = null;
        if (requests.readBoolean()) {
          part =
              new Rectangle(
                  requests.readInt(), requests.readInt(), requests.readInt(), requests.readInt());
        }
        held = answer(answers, bytes, longSide, mostPixels, part, held);
        answers.flush();
      }
    } catch (IOException e) {
      // The program that asked has ended, and so does its helper.
      Runtime.getRuntime().halt(0);
    }
  }

  /** The whole picture that a part was last asked of, with the file it is of. */
  private record Held(byte[] bytes, BufferedImage whole) {}

  private static Held answer(
      DataOutputStream answers,
      byte[] bytes,
      int longSide,
      long mostPixels,
      Rectangle part,
      Held before)
      throws IOException {
    BufferedImage image;
    Held held = null;
    try {
      if (part == null) {
        image = HeifDecoder.decode(bytes, longSide, mostPixels);
      } else {
        held = before != null && Arrays.equals(before.bytes(), bytes) ? before : null;
        if (held == null) {
          held = new Held(bytes, HeifDecoder.decode(bytes, longSide, mostPixels));
        }
        image = cut(held.whole(), part);
      }
    } catch (IOException | RuntimeException | OutOfMemoryError e) {
      answers.writeByte(1);
      answers.writeUTF(String.valueOf(e.getMessage()));
      return null;
    }
    answers.writeByte(0);
    answers.writeInt(image.getWidth());
    answers.writeInt(image.getHeight());
    int[] from = Rgb.pixels(image);
    byte[] row = new byte[image.getWidth() * 3];
    for (int i = 0; i < from.length; ) {
      for (int k = 0; k < row.length; k += 3, i++) {
        row[k] = (byte) (from[i] >> 16);
        row[k + 1] = (byte) (from[i] >> 8);
        row[k + 2] = (byte) from[i];
      }
      answers.write(row);
    }
    return held;
  }

  /** A part of a picture; what lies off it is left out. */
  private static BufferedImage cut(BufferedImage whole, Rectangle part) throws IOException {
    Rectangle in = part.intersection(new Rectangle(0, 0, whole.getWidth(), whole.getHeight()));
    if (in.isEmpty()) {
      throw new IOException("nothing of the picture lies there");
    }
    BufferedImage out = Rgb.create(in.width, in.height);
    whole.getRGB(in.x, in.y, in.width, in.height, Rgb.pixels(out), 0, in.width);
    return out;
  }
}
