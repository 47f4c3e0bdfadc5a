package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Arrays;
import java.util.Random;
import java.util.zip.CRC32;
import java.util.zip.Deflater;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import meterside.job.Format;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What damaged, empty and hostile files get. */
class BadInputTest {
  private static final byte[] PHOTO =
      ExifBlock.camera("Acme", "One", "2026:05:12 09:08:07")
          .into(Jpegs.encode(TestPictures.scene(640, 480, 3), 0.9f));

  @Test
  void anEmptyFileIsNoPicture() {
    NotAPicture not =
        assertInstanceOf(NotAPicture.class, PictureReader.read(new byte[0], "empty.jpg"));
    assertEquals("empty.jpg is empty (0 bytes). It stays where it is.", not.sentence());
  }

  @Test
  void aTextNamedJpgIsNoPicture() {
    byte[] text = "This is a list of things to buy.\n".getBytes(StandardCharsets.UTF_8);
    assertTrue(sentence(text, "text.jpg").startsWith("text.jpg holds no JPEG"));
  }

  @Test
  void theKindIsToldByContent() throws IOException {
    assertEquals(Format.JPEG, picture(PHOTO, "wrong.png").format());
    byte[] png = png(TestPictures.scene(40, 30, 1));
    Picture p = picture(png, "wrong.jpg");
    assertEquals(Format.PNG, p.format());
    assertEquals("png", p.extension());
    assertNull(p.trouble());
    assertFalse(p.hasMetadata());
  }

  @Test
  void aJpegCutAnywhereIsNeverTakenForWhole() {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    for (int k = 0; k < 300; k++) {
      int length = k < 20 ? k : random.nextInt(PHOTO.length - 1);
      Reading reading = PictureReader.read(Arrays.copyOf(PHOTO, length), "cut.jpg");
      if (reading instanceof Picture p) {
        assertTrue(p.damaged(), "length " + length);
        assertNull(p.previewJpeg());
        assertTrue(p.trouble().startsWith("cut.jpg is damaged"), p.trouble());
      }
    }
    // Cut in the pixels, the facts are all there.
    Picture p = picture(Arrays.copyOf(PHOTO, PHOTO.length / 2), "cut.jpg");
    assertEquals("2026:05:12 09:08:07", p.recorded().original());
    assertEquals(640, p.width());
  }

  @Test
  void aCutProgressiveJpegIsDamagedToo() throws IOException {
    byte[] whole = progressive(TestPictures.scene(640, 480, 3));
    assertNull(picture(whole, "p.jpg").trouble());
    for (int percent : new int[] {30, 60, 90, 99}) {
      Picture p = picture(Arrays.copyOf(whole, whole.length * percent / 100), "p.jpg");
      assertTrue(p.damaged(), percent + " %");
    }
  }

  @Test
  void pixelsOverwrittenInTheMiddleAreDamage() {
    byte[] b = PHOTO.clone();
    Arrays.fill(b, b.length / 2, b.length / 2 + 2000, (byte) 0);
    assertTrue(picture(b, "zeros.jpg").damaged());
    byte[] noise = new byte[2000];
    new Random(5).nextBytes(noise);
    for (int i = 0; i < noise.length; i++) {
      noise[i] &= 0x7f; // no markers
    }
    System.arraycopy(noise, 0, b, b.length / 2, noise.length);
    Picture p = picture(b, "noise.jpg");
    assertTrue(p.damaged());
    assertNull(p.previewJpeg());
    assertEquals("Acme", p.make());
  }

  @Test
  void bytesAfterTheEndAreNoError() {
    byte[] longer = Arrays.copyOf(PHOTO, PHOTO.length + 5000);
    Arrays.fill(longer, PHOTO.length, longer.length, (byte) 7);
    Picture p = picture(longer, "trailer.jpg");
    assertNull(p.trouble());
    assertNotNull(p.previewJpeg());
  }

  @Test
  void aPictureWithoutMetadataIsFine() throws IOException {
    for (byte[] b :
        new byte[][] {
          TestPictures.jpeg(1),
          png(TestPictures.scene(40, 30, 1)),
          written(TestPictures.scene(40, 30, 1), "tiff")
        }) {
      Picture p = picture(b, "plain");
      assertNull(p.trouble());
      assertFalse(p.hasMetadata());
      assertNull(p.recorded().original());
      assertNull(p.exposure());
      assertNull(p.position());
      assertEquals(1, p.orientationTag());
      assertNotNull(p.thumbnailJpeg());
    }
  }

  @ParameterizedTest
  @CsvSource({"60000,60000", "70000,10", "10,70000", "2147483647,2147483647", "25000,25000"})
  void aHeaderThatClaimsTooManyPixelsIsRefusedBeforeDecoding(int width, int height) {
    byte[] bomb = pngHeader(width, height);
    Picture p = assertTimeoutPreemptively(Duration.ofSeconds(5), () -> picture(bomb, "bomb.png"));
    assertTrue(p.trouble().contains(width + " by " + height), p.trouble());
    assertNull(p.previewJpeg());
    assertEquals(width, p.width());
  }

  @Test
  void aLargePictureOfFewBytesIsThinnedOutWithinTheBudget() {
    // 250 megapixels of one colour in a quarter of a megabyte.
    byte[] bomb = flatPng(16_000, 16_000);
    assertTrue(bomb.length < 1 << 20);
    Picture p = assertTimeoutPreemptively(Duration.ofSeconds(60), () -> picture(bomb, "flat.png"));
    assertNull(p.trouble());
    assertNotNull(p.previewJpeg());
  }

  @Test
  void aJpegThatClaimsTooManyPixelsIsRefused() {
    byte[] b = PHOTO.clone();
    for (int i = 0; i < b.length - 9; i++) {
      if (b[i] == (byte) 0xff && b[i + 1] == (byte) 0xc0) {
        b[i + 5] = (byte) 0xff;
        b[i + 6] = (byte) 0xf0;
        b[i + 7] = (byte) 0xff;
        b[i + 8] = (byte) 0xf0;
        break;
      }
    }
    Picture p = picture(b, "huge.jpg");
    assertTrue(p.damaged());
    assertTrue(p.trouble().contains("65520 by 65520"), p.trouble());
  }

  @ParameterizedTest
  @ValueSource(ints = {8, 33, 60, 200, 1000})
  void aCutPngIsDamagedOrNoPicture(int length) throws IOException {
    byte[] cut = Arrays.copyOf(png(TestPictures.scene(100, 80, 2)), length);
    Reading reading = PictureReader.read(cut, "cut.png");
    if (length < 33) {
      assertInstanceOf(NotAPicture.class, reading);
    } else {
      assertTrue(((Picture) reading).damaged());
    }
  }

  @Test
  void aPngWithAWrongCrcIsDamaged() throws IOException {
    byte[] b = png(TestPictures.scene(100, 80, 2));
    b[b.length / 2] ^= 1;
    assertTrue(picture(b, "bit.png").damaged());
  }

  @Test
  void aCutTiffIsDamaged() throws IOException {
    byte[] whole = written(TestPictures.scene(300, 200, 2), "tiff");
    Reading reading = PictureReader.read(Arrays.copyOf(whole, whole.length * 9 / 10), "cut.tif");
    if (reading instanceof Picture p) {
      assertTrue(p.damaged());
    }
    assertNull(picture(whole, "whole.tif").trouble());
  }

  @Test
  void aCutHeicIsDamagedAndKeepsItsFacts() {
    byte[] whole = SharedData.bytes("exifr/test/fixtures/heic-iphone.heic");
    Picture p = picture(Arrays.copyOf(whole, whole.length / 2), "cut.heic");
    assertTrue(p.damaged());
    assertEquals("2019:08:21 10:57:23", p.recorded().original());
  }

  @Test
  void rawDataAreNotAPicture() {
    byte[] raw =
        new ExifBlock().mainShort(0x0100, 160).mainShort(0x0101, 120).main(0xc612, "1").bytes();
    assertTrue(sentence(raw, "a.dng").contains("raw data"));
  }

  @Test
  void seededMutationsEndAsPictureOrSentence() throws IOException {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    byte[][] originals = {
      ExifBlock.camera("Acme", "One", "2026:05:12 09:08:07")
          .gpsRational(0x02, 40, 1, 26, 1, 47, 1)
          .into(Jpegs.encode(TestPictures.scene(64, 48, 3), 0.9f)),
      progressive(TestPictures.scene(64, 48, 3)),
      png(TestPictures.scene(64, 48, 3)),
      written(TestPictures.scene(64, 48, 3), "tiff")
    };
    for (int k = 0; k < 2000; k++) {
      byte[] b = originals[k % originals.length].clone();
      for (int n = 1 + random.nextInt(8); n > 0; n--) {
        int at = random.nextBoolean() ? random.nextInt(b.length) : random.nextInt(200);
        b[at] = (byte) (random.nextInt(4) == 0 ? 0xff : random.nextInt(256));
      }
      assertNotNull(PictureReader.read(b, "mutant"), "seed " + seed + ", round " + k);
    }
  }

  private static Picture picture(byte[] bytes, String name) {
    return assertInstanceOf(Picture.class, PictureReader.read(bytes, name));
  }

  private static String sentence(byte[] bytes, String name) {
    return assertInstanceOf(NotAPicture.class, PictureReader.read(bytes, name)).sentence();
  }

  private static byte[] png(BufferedImage image) throws IOException {
    return written(image, "png");
  }

  private static byte[] written(BufferedImage image, String kind) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    assertTrue(ImageIO.write(image, kind, out));
    return out.toByteArray();
  }

  static byte[] progressive(BufferedImage image) throws IOException {
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (var stream = ImageIO.createImageOutputStream(out)) {
      ImageWriteParam param = writer.getDefaultWriteParam();
      param.setProgressiveMode(ImageWriteParam.MODE_DEFAULT);
      writer.setOutput(stream);
      writer.write(null, new javax.imageio.IIOImage(image, null, null), param);
    } finally {
      writer.dispose();
    }
    return out.toByteArray();
  }

  /** A PNG of this size, 8-bit RGB, whose data are a single byte. */
  private static byte[] pngHeader(int width, int height) {
    return png(width, height, 2, new byte[] {0});
  }

  /** A PNG of this size in one gray. */
  private static byte[] flatPng(int width, int height) {
    Deflater deflater = new Deflater(9);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    byte[] row = new byte[width + 1];
    byte[] buffer = new byte[1 << 16];
    for (int y = 0; y < height; y++) {
      deflater.setInput(row);
      while (!deflater.needsInput()) {
        out.write(buffer, 0, deflater.deflate(buffer));
      }
    }
    deflater.finish();
    while (!deflater.finished()) {
      out.write(buffer, 0, deflater.deflate(buffer));
    }
    deflater.end();
    return png(width, height, 0, out.toByteArray());
  }

  private static byte[] png(int width, int height, int colour, byte[] data) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(new byte[] {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'});
    byte[] header = {0, 0, 0, 0, 0, 0, 0, 0, 8, (byte) colour, 0, 0, 0};
    ByteBuffer.wrap(header).putInt(width).putInt(height);
    chunk(out, "IHDR", header);
    chunk(out, "IDAT", data);
    chunk(out, "IEND", new byte[0]);
    return out.toByteArray();
  }

  private static void chunk(ByteArrayOutputStream out, String type, byte[] body) {
    byte[] name = type.getBytes(StandardCharsets.US_ASCII);
    CRC32 crc = new CRC32();
    crc.update(name);
    crc.update(body);
    out.writeBytes(ByteBuffer.allocate(4).putInt(body.length).array());
    out.writeBytes(name);
    out.writeBytes(body);
    out.writeBytes(ByteBuffer.allocate(4).putInt((int) crc.getValue()).array());
  }
}
