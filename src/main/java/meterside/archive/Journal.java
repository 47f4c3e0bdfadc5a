package meterside.archive;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import meterside.job.Edit;
import meterside.job.EditRefused;
import meterside.job.History;
import meterside.job.JobHeader;

/**
 * The form of {@code journal.jsonl}: one line of compact JSON for the header and one for each edit,
 * UTF-8, each ended by a newline (0x0A). Lines are only ever added at the end.
 *
 * <pre>
 * {"seq":1,"at":"2026-05-12T21:04:05.000Z","by":"inspector","step":0,"type":"header","v":1,"edit":{"format":1,"id":…,"site":…,"date":…,"zone":…,"route":{…},"profile":{…}},"hash":"…"}
 * {"seq":2,"at":"2026-05-12T21:05:00.250Z","by":"inspector","step":1,"type":"callout","v":1,"edit":{"callout":{"id":1,"photo":"…","part":"drip-loop","rings":[{"x":0.5,"y":0.25}]}},"hash":"…"}
 * </pre>
 *
 * <table>
 * <caption>Members, in this order</caption>
 * <tr><td>{@code seq}</td><td>number of the line, from 1, without a gap</td></tr>
 * <tr><td>{@code at}</td><td>when it was written: UTC, ISO 8601, milliseconds, {@code Z}</td></tr>
 * <tr><td>{@code by}</td><td>who did it</td></tr>
 * <tr><td>{@code step}</td><td>the step it belongs to; 0 for the header</td></tr>
 * <tr><td>{@code type}</td><td>{@code header}, or the edit's type ({@link EditCodec#types})</td></tr>
 * <tr><td>{@code v}</td><td>version of the type's form</td></tr>
 * <tr><td>{@code edit}</td><td>the header's or the edit's components</td></tr>
 * <tr><td>{@code hash}</td><td>64 lower-case hexadecimal digits, see below</td></tr>
 * </table>
 *
 * <p><b>Checksum.</b> {@code hash} is the SHA-256 (FIPS 180-4) of the previous line's hash, as its
 * 64 characters (nothing for line 1), followed by this line's bytes before {@code ,"hash"}. So a
 * line vouches for all lines before it. The last line's hash is the journal's <i>head</i>.
 *
 * <p><b>Torn tail.</b> Bytes after the last newline are an append that was cut short. They were
 * never acknowledged: readers drop them with a sentence, and the next holder of the job's lock cuts
 * them off. A line that has its newline and is not right in every point (form, hash, number, an
 * edit that the job refuses) is {@link BrokenIntegrity}.
 *
 * <p><b>Growing old.</b> The form of a line, its hash and line 1's member {@code format} stay as
 * they are in every format. A higher {@code format} is {@link NewerFormat}. An unknown type or a
 * higher version of a known one makes the journal read-only: see {@link JournalContent#readOnly}.
 */
public final class Journal {
  /** Type of line 1. */
  static final String HEADER = "header";

  private static final int HEADER_VERSION = 1;
  private static final String HASH = ",\"hash\":\"";
  private static final int HEX = 64;
  private static final int SUFFIX = HASH.length() + HEX + 2; // with "}
  private static final int MEMBERS = 8;

  private Journal() {}

  /**
   * A line as it was written.
   *
   * @param bytes with its newline
   * @param hash its hash, the next line's "previous"
   */
  record Line(byte[] bytes, String hash) {}

  /** Line 1. */
  static Line header(JobHeader header, String author, Instant at) {
    Required.check(header);
    ObjectNode node = Json.MAPPER.valueToTree(header);
    Json.requireFinite(node);
    return line(1, at, author, 0, HEADER, HEADER_VERSION, node, "");
  }

  /** The line of an edit. */
  static Line edit(History.Entry entry, String previous) {
    EditCodec.Written w = EditCodec.write(entry.edit());
    return line(
        entry.seq(),
        entry.at(),
        entry.author(),
        entry.step(),
        w.type(),
        w.version(),
        w.edit(),
        previous);
  }

  private static Line line(
      long seq,
      Instant at,
      String by,
      long step,
      String type,
      int version,
      ObjectNode edit,
      String previous) {
    ObjectNode line = Json.MAPPER.createObjectNode();
    line.put("seq", seq);
    line.put("at", Json.moment(at));
    line.put("by", by);
    line.put("step", step);
    line.put("type", type);
    line.put("v", version);
    line.set("edit", edit);
    String whole = Json.text(line);
    byte[] body = whole.substring(0, whole.length() - 1).getBytes(StandardCharsets.UTF_8);
    String hash = hash(previous, body, 0, body.length);
    byte[] tail = (HASH + hash + "\"}\n").getBytes(StandardCharsets.US_ASCII);
    byte[] bytes = new byte[body.length + tail.length];
    System.arraycopy(body, 0, bytes, 0, body.length);
    System.arraycopy(tail, 0, bytes, body.length, tail.length);
    return new Line(bytes, hash);
  }

  /**
   * Reads and checks a whole journal.
   *
   * @param name what to call it in sentences
   * @throws BrokenIntegrity naming the first line that is not right
   * @throws NewerFormat if its format is higher than this program's
   */
  public static JournalContent read(String name, byte[] bytes) {
    return new Reader(name, bytes).read();
  }

  /**
   * The hashes of a journal's lines in order, line 1 first, as they stand there; a torn tail has
   * none. Only for a journal that {@link #read} found right.
   */
  static List<String> heads(byte[] bytes) {
    List<String> out = new ArrayList<>();
    int start = 0;
    for (int end = newline(bytes, start); end >= 0; end = newline(bytes, start)) {
      out.add(new String(bytes, end - HEX - 2, HEX, StandardCharsets.US_ASCII));
      start = end + 1;
    }
    return out;
  }

  private static int newline(byte[] bytes, int from) {
    for (int i = from; i < bytes.length; i++) {
      if (bytes[i] == '\n') {
        return i;
      }
    }
    return -1;
  }

  private static String hash(String previous, byte[] bytes, int from, int length) {
    MessageDigest digest = Sha256.digest();
    digest.update(previous.getBytes(StandardCharsets.US_ASCII));
    digest.update(bytes, from, length);
    return Sha256.digits(digest.digest());
  }

  /** One reading. */
  private static final class Reader {
    private final String name;
    private final byte[] bytes;
    private final List<History.Entry> entries = new ArrayList<>();
    private JobHeader header;
    private History history;
    private String head = "";
    private String notUnderstood;

    Reader(String name, byte[] bytes) {
      this.name = name;
      this.bytes = bytes;
    }

    JournalContent read() {
      int start = 0;
      long number = 1;
      for (int end = newline(bytes, start); end >= 0; end = newline(bytes, start)) {
        line(number, start, end);
        start = end + 1;
        number++;
      }
      if (header == null) {
        throw new BrokenIntegrity(1, "journal.no-header", name);
      }
      boolean readOnly = notUnderstood != null;
      return new JournalContent(
          header,
          entries,
          head,
          start,
          start < bytes.length,
          readOnly,
          readOnly ? ArchiveException.say("journal.read-only", name, notUnderstood) : null);
    }

    private void line(long number, int start, int end) {
      int body = end - start - SUFFIX;
      // Hash first: what fails it is not looked at any further.
      if (body < 1 || !suffixIs(start + body, HASH) || !suffixIs(end - 2, "\"}")) {
        throw new BrokenIntegrity(number, "journal.not-a-line", name, number);
      }
      String written =
          new String(bytes, start + body + HASH.length(), HEX, StandardCharsets.US_ASCII);
      String right = hash(head, bytes, start, body);
      if (!right.equals(written)) {
        throw new BrokenIntegrity(number, "journal.wrong-hash", name, number);
      }
      JsonNode line = parse(number, start, end);
      if (!line.path("seq").isIntegralNumber() || line.path("seq").longValue() != number) {
        throw new BrokenIntegrity(number, "journal.wrong-number", name, number);
      }
      try {
        if (number == 1) {
          header = readHeader(line);
          history = new History(header);
        } else {
          edit(number, line);
        }
      } catch (EditRefused e) {
        throw new BrokenIntegrity(number, "journal.refused", name, number, e.getMessage());
      } catch (IllegalArgumentException | DateTimeException | NullPointerException e) {
        // A component that may not be absent shows as NullPointerException in a value's checks.
        throw new BrokenIntegrity(number, "journal.bad-edit", name, number, e.getMessage());
      }
      head = right;
    }

    private boolean suffixIs(int from, String text) {
      for (int i = 0; i < text.length(); i++) {
        if (bytes[from + i] != text.charAt(i)) {
          return false;
        }
      }
      return true;
    }

    private JsonNode parse(long number, int start, int end) {
      JsonNode line;
      try {
        line = Json.MAPPER.readTree(bytes, start, end - start);
      } catch (IOException e) {
        throw new BrokenIntegrity(number, "journal.bad-json", name, number);
      }
      boolean right =
          line.isObject()
              && line.path("at").isTextual()
              && line.path("by").isTextual()
              && line.path("step").isIntegralNumber()
              && line.path("step").canConvertToLong()
              && line.path("type").isTextual()
              && line.path("v").isInt()
              && line.path("edit").isObject();
      if (!right) {
        throw new BrokenIntegrity(number, "journal.bad-json", name, number);
      }
      return line;
    }

    private JobHeader readHeader(JsonNode line) {
      JsonNode format = line.path("edit").path("format");
      if (!line.path("type").textValue().equals(HEADER) || !format.isInt()) {
        throw new BrokenIntegrity(1, "journal.no-header", name);
      }
      if (format.intValue() > JobHeader.FORMAT || line.path("v").intValue() > HEADER_VERSION) {
        throw new NewerFormat("journal.newer", name, format.intValue(), JobHeader.FORMAT);
      }
      return EditCodec.bind(line.path("edit"), JobHeader.class);
    }

    private void edit(long number, JsonNode line) {
      String type = line.path("type").textValue();
      int version = line.path("v").intValue();
      boolean known = EditCodec.knows(type, version) && line.size() == MEMBERS;
      if (!known && notUnderstood == null) {
        notUnderstood = type;
      }
      Edit edit =
          known
              ? EditCodec.read(type, version, line.path("edit"))
              : new Edit.NotUnderstood(type, version);
      History.Entry entry = entry(number, line, edit);
      try {
        history.accept(entry);
      } catch (EditRefused e) {
        if (notUnderstood == null) {
          throw e;
        }
        // It may stand on something that an edit we do not understand has done.
        entry = entry(number, line, new Edit.NotUnderstood(type, version));
        history.accept(entry);
      }
      entries.add(entry);
    }

    private static History.Entry entry(long number, JsonNode line, Edit edit) {
      return new History.Entry(
          number,
          Instant.parse(line.path("at").textValue()),
          line.path("by").textValue(),
          line.path("step").longValue(),
          edit);
    }
  }
}
