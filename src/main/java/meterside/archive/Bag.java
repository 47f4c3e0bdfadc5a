package meterside.archive;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.IllegalCharsetNameException;
import java.nio.charset.StandardCharsets;
import java.nio.charset.UnsupportedCharsetException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meterside.job.Progress;

/**
 * Reads and checks a bag as RFC 8493 (BagIt 1.0) describes it, and as the drafts before it did
 * (0.93 to 0.97, which differ in few points). Never throws for what is in the bag: each thing that
 * is wrong is a problem with a sentence. Nothing outside the bag's folder is read, links are not
 * followed, and whatever stands in a tag file is bounded.
 */
public final class Bag {
  private static final Pattern DECLARATION =
      Pattern.compile(
          "BagIt-Version: (\\d+)\\.(\\d+)\r?\nTag-File-Character-Encoding: (\\S+)(?:\r?\n)?");
  private static final Pattern OLD_DECLARATION =
      Pattern.compile(
          "BagIt-Version\\s*:\\s*(\\d+)\\.(\\d+)\\s*[\r\n]+\\s*"
              + "Tag-File-Character-Encoding\\s*:\\s*(\\S+)\\s*");
  private static final Pattern MANIFEST = Pattern.compile("(tag)?manifest-([a-z0-9]+)\\.txt");
  private static final Pattern LINE = Pattern.compile("([0-9a-fA-F]+)[ \t]+(\\*?)(.+)");
  private static final Pattern OXUM = Pattern.compile("(\\d{1,18})\\.(\\d{1,18})");
  private static final Pattern RESERVED =
      Pattern.compile(
          "(?i)(con|prn|aux|nul|com[0-9]|lpt[0-9])(\\..*)?|.*[. ]|thumbs\\.db|\\.ds_store|desktop\\.ini");
  private static final Map<String, String> DIGESTS =
      Map.of(
          "md5", "MD5",
          "sha1", "SHA-1",
          "sha224", "SHA-224",
          "sha256", "SHA-256",
          "sha384", "SHA-384",
          "sha512", "SHA-512");
  private static final String DATA = "data/";

  /** Most bytes of a tag file; a manifest of a hundred thousand photos has about ten million. */
  static final int LARGEST_TAG_FILE = 64 << 20;

  private static final int LARGEST_DECLARATION = 4096;
  private static final int MOST_PROBLEMS = 100;

  private final Path root;
  private final Progress progress;
  private final List<String> problems = new ArrayList<>();
  private final List<String> warnings = new ArrayList<>();
  private final Map<String, String> info = new LinkedHashMap<>();
  private final Map<String, Map<String, String>> manifests = new TreeMap<>();
  private final Map<String, Map<String, String>> tagManifests = new TreeMap<>();
  private boolean strict;
  private String version = "";
  private Charset encoding = StandardCharsets.UTF_8;

  private Bag(Path root, Progress progress) {
    this.root = root;
    this.progress = progress;
  }

  /**
   * What a check found.
   *
   * @param version the bag's version, empty if it says none
   * @param problems why it is not valid; empty if it is complete and every checksum is right
   * @param warnings what is allowed but may trouble other systems
   * @param info {@code bag-info.txt}: labels and values, the first value of each label
   * @param payload payload files by path below the bag, with SHA-256 where the bag states one
   * @param finished whether the check was not stopped
   */
  public record Check(
      String version,
      List<String> problems,
      List<String> warnings,
      Map<String, String> info,
      Map<String, String> payload,
      boolean finished) {
    /** Complete, and every checksum right. */
    public boolean valid() {
      return problems.isEmpty() && finished;
    }
  }

  /** Whether a folder says of itself that it is a bag. */
  public static boolean looksLikeOne(Path folder) {
    return Files.isRegularFile(folder.resolve("bagit.txt"), LinkOption.NOFOLLOW_LINKS);
  }

  /**
   * Checks a bag whole: form, completeness and every checksum of every manifest.
   *
   * @param folder the bag
   * @param progress counts files; may stop the check
   */
  public static Check check(Path folder, Progress progress) {
    return check(new Bag(folder, progress), true);
  }

  /** As {@link #check}, without the checksums of the payload. */
  static Check listed(Path folder) {
    return check(new Bag(folder, Progress.NONE), false);
  }

  private static Check check(Bag bag, boolean sums) {
    boolean finished = false;
    try {
      finished = bag.run(sums);
    } catch (IOException | InvalidPathException e) {
      bag.problem("bag.unreadable", String.valueOf(e.getMessage()));
    }
    Map<String, String> payload = new TreeMap<>();
    for (Map<String, String> m : bag.manifests.values()) {
      m.keySet().forEach(path -> payload.putIfAbsent(path, ""));
    }
    payload.putAll(bag.manifests.getOrDefault("sha256", Map.of()));
    return new Check(
        bag.version,
        List.copyOf(bag.problems),
        List.copyOf(bag.warnings),
        Map.copyOf(bag.info),
        Map.copyOf(payload),
        finished);
  }

  private boolean run(boolean sums) throws IOException {
    if (!declaration()) {
      return true;
    }
    Set<String> tagFiles = new TreeSet<>();
    try (DirectoryStream<Path> top = Files.newDirectoryStream(root)) {
      for (Path file : top) {
        if (Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
          tagFiles.add(file.getFileName().toString());
        }
      }
    }
    for (String name : tagFiles) {
      Matcher m = MANIFEST.matcher(name);
      if (m.matches()) {
        boolean tags = m.group(1) != null;
        Map<String, String> read = manifest(name, !tags);
        if (DIGESTS.containsKey(m.group(2))) {
          (tags ? tagManifests : manifests).put(m.group(2), read);
        } else {
          problem("bag.algorithm", name);
        }
      }
    }
    if (manifests.isEmpty()) {
      problem("bag.no-manifest");
    }
    bagInfo();
    fetch();
    Map<String, Path> files = payloadFiles();
    oxum(files);
    complete(files);
    tagManifestsComplete(tagFiles);
    return !sums || checksums(files);
  }

  private boolean declaration() throws IOException {
    Path file = root.resolve("bagit.txt");
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
        || Files.size(file) > LARGEST_DECLARATION) {
      problem("bag.no-declaration");
      return false;
    }
    byte[] bytes = Files.readAllBytes(file);
    String text;
    try {
      text = decode(bytes, StandardCharsets.UTF_8);
    } catch (CharacterCodingException e) {
      problem("bag.bad-declaration");
      return false;
    }
    Matcher old = OLD_DECLARATION.matcher(text);
    if (text.startsWith("\ufeff") || !old.matches()) {
      problem("bag.bad-declaration");
      return false;
    }
    version = old.group(1) + "." + old.group(2);
    strict = !version.startsWith("0.");
    if (strict && !version.equals("1.0")) {
      problem("bag.newer", version);
      return false;
    }
    if (strict && !DECLARATION.matcher(text).matches()) {
      problem("bag.bad-declaration");
      return false;
    }
    try {
      encoding = Charset.forName(old.group(3));
    } catch (IllegalCharsetNameException | UnsupportedCharsetException e) {
      problem("bag.encoding", old.group(3));
      return false;
    }
    return true;
  }

  /** Reads a manifest: path and checksum, in lower case. */
  private Map<String, String> manifest(String name, boolean payload) throws IOException {
    Map<String, String> out = new LinkedHashMap<>();
    Set<String> folded = new HashSet<>();
    for (String line : lines(name)) {
      if (line.isBlank()) {
        continue;
      }
      Matcher m = LINE.matcher(line);
      if (!m.matches()) {
        problem("bag.line", name, clip(line));
        continue;
      }
      if (!m.group(2).isEmpty()) {
        warning("bag.star", name);
      }
      String path = safe(name, decoded(m.group(3)));
      if (path == null) {
        continue;
      }
      if (payload != path.startsWith(DATA)) {
        problem("bag.wrong-place", name, clip(path));
        continue;
      }
      String sum = m.group(1).toLowerCase(Locale.ROOT);
      String before = out.put(path, sum);
      if (before != null && (strict || !before.equals(sum))) {
        problem("bag.twice", name, clip(path));
      } else if (before != null) {
        warning("bag.twice", name, clip(path));
      } else if (!folded.add(fold(path))) {
        warning("bag.alike", name, clip(path));
      }
      String last = path.substring(path.lastIndexOf('/') + 1);
      if (RESERVED.matcher(last).matches()) {
        warning("bag.reserved", clip(path));
      }
    }
    return out;
  }

  /** A path as one folder tree knows it, or null if it would lead out of the bag. */
  private String safe(String where, String path) {
    String p = path;
    while (p.startsWith("./")) {
      p = p.substring(2);
      warning("bag.relative", where, clip(path));
    }
    boolean bad =
        p.isEmpty()
            || p.startsWith("/")
            || p.startsWith("~")
            || p.startsWith("\\")
            || p.indexOf('\0') >= 0
            || p.matches("(?s)[A-Za-z]:.*")
            || p.contains("//")
            || p.endsWith("/");
    for (String step : p.split("[/\\\\]", -1)) {
      bad |= step.equals("..") || step.equals(".");
    }
    if (bad) {
      problem("bag.path", where, clip(path));
      return null;
    }
    return p;
  }

  /** RFC 8493 has three characters encoded, and only these; the drafts had none. */
  private String decoded(String path) {
    return strict
        ? path.replaceAll("(?i)%0A", "\n").replaceAll("(?i)%0D", "\r").replace("%25", "%")
        : path;
  }

  private void bagInfo() throws IOException {
    String name = "bag-info.txt";
    if (!Files.isRegularFile(root.resolve(name), LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    String label = null;
    int oxums = 0;
    for (String line : lines(name)) {
      if (line.isBlank()) {
        continue;
      }
      if (Character.isWhitespace(line.charAt(0))) {
        if (label != null) {
          info.merge(label, line.strip(), (a, b) -> a + " " + b);
        }
        continue;
      }
      int colon = line.indexOf(':');
      if (colon <= 0) {
        problem("bag.info", clip(line));
        continue;
      }
      label = line.substring(0, colon).strip();
      if (label.equalsIgnoreCase("Payload-Oxum")) {
        label = "Payload-Oxum";
        oxums++;
      }
      if (info.putIfAbsent(label, line.substring(colon + 1).strip()) != null) {
        label = null; // what continues a repeated label is not the first one's
      }
    }
    if (oxums > 1 && strict) {
      problem("bag.oxum-twice");
    }
  }

  /**
   * What is to be fetched is never fetched; only that its paths stay within the bag is looked at.
   */
  private void fetch() throws IOException {
    String name = "fetch.txt";
    if (!Files.isRegularFile(root.resolve(name), LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    for (String line : lines(name)) {
      if (line.isBlank()) {
        continue;
      }
      String[] parts = line.strip().split("[ \t]+", 3);
      if (parts.length < 3) {
        problem("bag.line", name, clip(line));
        continue;
      }
      String path = safe(name, decoded(parts[2]));
      if (path != null && !path.startsWith(DATA)) {
        problem("bag.wrong-place", name, clip(path));
      }
    }
  }

  private Map<String, Path> payloadFiles() throws IOException {
    Map<String, Path> files = new TreeMap<>();
    Path data = root.resolve("data");
    if (!Files.isDirectory(data, LinkOption.NOFOLLOW_LINKS)) {
      problem("bag.no-data");
      return files;
    }
    Files.walkFileTree(
        data,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes a) {
            String path = root.relativize(file).toString().replace('\\', '/');
            if (a.isRegularFile()) {
              files.put(path, file);
            } else {
              problem("bag.special", clip(path));
            }
            return progress.cancelled() ? FileVisitResult.TERMINATE : FileVisitResult.CONTINUE;
          }
        });
    return files;
  }

  private void oxum(Map<String, Path> files) throws IOException {
    String said = info.get("Payload-Oxum");
    if (said == null) {
      return;
    }
    Matcher m = OXUM.matcher(said);
    if (!m.matches()) {
      problem("bag.oxum", clip(said), "", "");
      return;
    }
    long octets = 0;
    for (Path f : files.values()) {
      octets += Files.size(f);
    }
    if (octets != Long.parseLong(m.group(1)) || files.size() != Long.parseLong(m.group(2))) {
      problem("bag.oxum", clip(said), octets + "." + files.size());
    }
  }

  private void complete(Map<String, Path> files) {
    Map<String, String> byForm = new HashMap<>();
    files.keySet().forEach(f -> byForm.put(Normalizer.normalize(f, Normalizer.Form.NFC), f));
    Map<String, Integer> listed = new HashMap<>();
    for (Map.Entry<String, Map<String, String>> m : manifests.entrySet()) {
      for (String path : List.copyOf(m.getValue().keySet())) {
        String there = files.containsKey(path) ? path : null;
        if (there == null) {
          there = byForm.get(Normalizer.normalize(path, Normalizer.Form.NFC));
          if (there != null) {
            warning("bag.form", clip(path));
            m.getValue().putIfAbsent(there, m.getValue().remove(path));
          }
        }
        if (there == null) {
          problem("bag.missing", clip(path));
          m.getValue().remove(path);
        } else {
          listed.merge(there, 1, Integer::sum);
        }
      }
    }
    int needed = strict ? manifests.size() : 1;
    for (String file : files.keySet()) {
      int times = listed.getOrDefault(file, 0);
      if (times < needed && !manifests.isEmpty()) {
        problem(times == 0 ? "bag.extra" : "bag.not-in-all", clip(file));
      }
    }
  }

  private void tagManifestsComplete(Set<String> tagFiles) {
    for (Map.Entry<String, Map<String, String>> m : tagManifests.entrySet()) {
      if (strict) {
        for (String algorithm : manifests.keySet()) {
          if (!m.getValue().containsKey("manifest-" + algorithm + ".txt")) {
            problem("bag.tags-not-all", "tagmanifest-" + m.getKey() + ".txt");
          }
        }
      }
      for (String path : List.copyOf(m.getValue().keySet())) {
        boolean there =
            tagFiles.contains(path)
                || Files.isRegularFile(root.resolve(path), LinkOption.NOFOLLOW_LINKS);
        if (!there) {
          problem("bag.missing", clip(path));
          m.getValue().remove(path);
        } else if (strict && path.startsWith("tagmanifest-")) {
          problem("bag.wrong-place", "tagmanifest-" + m.getKey() + ".txt", path);
        }
      }
    }
  }

  /** Checks every checksum; each file is read once, whatever the number of its manifests. */
  private boolean checksums(Map<String, Path> files) throws IOException {
    long total = files.size();
    long done = 0;
    for (Map.Entry<String, Path> f : files.entrySet()) {
      if (progress.cancelled()) {
        return false;
      }
      compare(f.getKey(), f.getValue(), manifests);
      progress.at(++done, total);
    }
    Set<String> tags = new TreeSet<>();
    tagManifests.values().forEach(m -> tags.addAll(m.keySet()));
    for (String tag : tags) {
      Path file = root.resolve(tag);
      if (inside(file)) {
        compare(tag, file, tagManifests);
      } else {
        problem("bag.path", "tagmanifest", clip(tag));
      }
    }
    return !progress.cancelled();
  }

  /** Whether no folder on the way to a file is a link that leads out of the bag. */
  private boolean inside(Path file) throws IOException {
    return file.toRealPath().startsWith(root.toRealPath());
  }

  private void compare(String path, Path file, Map<String, Map<String, String>> manifests)
      throws IOException {
    Map<String, MessageDigest> digests = new TreeMap<>();
    for (Map.Entry<String, Map<String, String>> m : manifests.entrySet()) {
      if (m.getValue().containsKey(path)) {
        digests.put(m.getKey(), digest(m.getKey()));
      }
    }
    byte[] buffer = new byte[1 << 16];
    try (InputStream in = Files.newInputStream(file, LinkOption.NOFOLLOW_LINKS)) {
      for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
        for (MessageDigest d : digests.values()) {
          d.update(buffer, 0, n);
        }
      }
    }
    for (Map.Entry<String, MessageDigest> d : digests.entrySet()) {
      if (!Sha256.digits(d.getValue().digest()).equals(manifests.get(d.getKey()).get(path))) {
        problem("bag.changed", clip(path), d.getKey());
      }
    }
  }

  private static MessageDigest digest(String algorithm) {
    try {
      return MessageDigest.getInstance(DIGESTS.get(algorithm));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }

  private List<String> lines(String name) throws IOException {
    Path file = root.resolve(name);
    if (Files.size(file) > LARGEST_TAG_FILE) {
      problem("bag.tag-too-large", name);
      return List.of();
    }
    try {
      String text = decode(Files.readAllBytes(file), encoding);
      if (text.startsWith("\ufeff")) {
        text = text.substring(1);
      }
      return List.of(text.split("\r\n|\n|\r", -1));
    } catch (CharacterCodingException e) {
      problem("bag.not-text", name, encoding.name());
      return List.of();
    }
  }

  private static String decode(byte[] bytes, Charset charset) throws CharacterCodingException {
    return charset
        .newDecoder()
        .onMalformedInput(CodingErrorAction.REPORT)
        .onUnmappableCharacter(CodingErrorAction.REPORT)
        .decode(ByteBuffer.wrap(bytes))
        .toString();
  }

  private static String fold(String path) {
    return Normalizer.normalize(path, Normalizer.Form.NFC).toLowerCase(Locale.ROOT);
  }

  private static String clip(String text) {
    String shown =
        text.codePoints()
            .limit(200)
            .collect(
                StringBuilder::new,
                (b, c) -> b.appendCodePoint(Character.isISOControl(c) ? '\ufffd' : c),
                StringBuilder::append)
            .toString();
    return shown.length() < text.length() ? shown + " …" : shown;
  }

  private void problem(String key, Object... arguments) {
    if (problems.size() < MOST_PROBLEMS) {
      problems.add(ArchiveException.say(key, arguments));
    }
  }

  private void warning(String key, Object... arguments) {
    String said = ArchiveException.say(key, arguments);
    if (warnings.size() < MOST_PROBLEMS && !warnings.contains(said)) {
      warnings.add(said);
    }
  }
}
