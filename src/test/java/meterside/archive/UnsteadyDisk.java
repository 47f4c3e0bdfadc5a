package meterside.archive;

import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;

/**
 * A disk whose power goes at a chosen write. While it is on, it is the real disk; beside it, it
 * remembers of every file and folder what was forced and what was not. {@link #survivors} then
 * builds what may be found after the power is back: everything that was forced, and of the rest
 * whatever chance leaves - any of the names, in any order; any of the 512-byte sectors, the others
 * zeros; any length.
 */
final class UnsteadyDisk extends RealDisk {
  private static final int SECTOR = 512;

  /** The power is gone. Not an exception that anybody tidies up after. */
  static final class PowerCut extends Error {
    private static final long serialVersionUID = 1L;
  }

  private interface Node {}

  /** A file: what is on the disk for good, and the changes since. */
  private static final class FileNode implements Node {
    byte[] durable = new byte[0];
    byte[] live = new byte[0];
    final List<Integer> cuts = new ArrayList<>();
  }

  /** A change of names in a folder that was not forced yet; a null node takes the name away. */
  private record Naming(String from, String to, Node node) {}

  private static final class FolderNode implements Node {
    final Map<String, Node> live = new TreeMap<>();
    final Map<String, Node> durable = new TreeMap<>();
    final List<Naming> pending = new ArrayList<>();
  }

  private final Path root;
  private final Random random;
  private final FolderNode tree = new FolderNode();
  private long stepsLeft;
  private boolean off;
  private long steps;

  /**
   * A disk that starts with what is in a folder, all of it forced.
   *
   * @param cutAt the power goes at this step, from 0
   */
  UnsteadyDisk(Path root, long cutAt, long seed) throws IOException {
    this.root = root;
    this.stepsLeft = cutAt;
    // Neighbouring seeds of Random begin alike; spread them (the golden ratio's bits).
    this.random = new Random(seed * 0x9E3779B97F4A7C15L);
    load(root, tree);
  }

  private static void load(Path from, FolderNode into) throws IOException {
    List<Path> entries;
    try (var list = Files.list(from)) {
      entries = list.toList();
    }
    for (Path p : entries) {
      Node node;
      if (Files.isDirectory(p)) {
        node = new FolderNode();
        load(p, (FolderNode) node);
      } else {
        FileNode file = new FileNode();
        file.live = Files.readAllBytes(p);
        file.durable = file.live;
        node = file;
      }
      into.live.put(p.getFileName().toString(), node);
      into.durable.put(p.getFileName().toString(), node);
    }
  }

  /** How many steps were taken. */
  long steps() {
    return steps;
  }

  /**
   * Whether this step is the one at which the power goes; what it began may still have an effect.
   */
  private boolean last() {
    if (off) {
      throw new PowerCut();
    }
    steps++;
    off = stepsLeft-- == 0;
    return off;
  }

  private void cutIf(boolean last) {
    if (last) {
      throw new PowerCut();
    }
  }

  private FolderNode folder(Path path) throws NoSuchFileException {
    Node node = tree;
    if (!path.equals(root)) {
      for (Path part : root.relativize(path)) {
        node = node instanceof FolderNode f ? f.live.get(part.toString()) : null;
      }
    }
    if (node instanceof FolderNode f) {
      return f;
    }
    throw new NoSuchFileException(path.toString());
  }

  private FileNode file(Path path) throws NoSuchFileException {
    if (folder(path.getParent()).live.get(name(path)) instanceof FileNode f) {
      return f;
    }
    throw new NoSuchFileException(path.toString());
  }

  private static String name(Path path) {
    return path.getFileName().toString();
  }

  @Override
  public void createFolder(Path path) throws IOException {
    if (path.equals(root) || Files.isDirectory(path)) {
      return;
    }
    createFolder(path.getParent());
    boolean last = last();
    FolderNode parent = folder(path.getParent());
    FolderNode made = new FolderNode();
    parent.live.put(name(path), made);
    parent.pending.add(new Naming(null, name(path), made));
    cutIf(last);
    super.createFolder(path);
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    boolean last = last();
    FolderNode parent = folder(newFile.getParent());
    if (parent.live.containsKey(name(newFile))) {
      throw new FileAlreadyExistsException(newFile.toString());
    }
    FileNode made = new FileNode();
    made.live = bytes.clone();
    parent.live.put(name(newFile), made);
    parent.pending.add(new Naming(null, name(newFile), made));
    cutIf(last);
    super.write(newFile, bytes);
  }

  @Override
  public void force(Path path) throws IOException {
    cutIf(last());
    FileNode node = file(path);
    node.durable = node.live;
    node.cuts.clear();
  }

  @Override
  public void readOnly(Path path) throws IOException {
    cutIf(last());
    super.readOnly(path);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    boolean last = last();
    FolderNode folder = folder(from.getParent());
    if (!from.getParent().equals(to.getParent())) {
      throw new IOException("only within a folder");
    }
    Node node = folder.live.remove(name(from));
    folder.live.put(name(to), node);
    folder.pending.add(new Naming(name(from), name(to), node));
    cutIf(last);
    super.move(from, to);
  }

  @Override
  public void forceFolder(Path path) throws IOException {
    if (!path.startsWith(root)) {
      return;
    }
    cutIf(last());
    FolderNode folder = folder(path);
    folder.pending.forEach(n -> apply(n, folder.durable));
    folder.pending.clear();
  }

  @Override
  public void delete(Path path) throws IOException {
    boolean last = last();
    FolderNode parent = folder(path.getParent());
    parent.live.remove(name(path));
    parent.pending.add(new Naming(name(path), null, null));
    cutIf(last);
    super.delete(path);
  }

  @Override
  public Appender appender(Path path) throws IOException {
    FileNode node = file(path);
    return new RealAppender(super.appender(path)) {
      @Override
      public void append(byte[] bytes) throws IOException {
        boolean last = last();
        byte[] longer = Arrays.copyOf(node.live, node.live.length + bytes.length);
        System.arraycopy(bytes, 0, longer, node.live.length, bytes.length);
        node.live = longer;
        cutIf(last);
        super.append(bytes);
      }

      @Override
      public void force() {
        cutIf(last());
        node.durable = node.live;
        node.cuts.clear();
      }

      @Override
      public void truncate(long length) throws IOException {
        boolean last = last();
        node.live = Arrays.copyOf(node.live, (int) length);
        node.cuts.add((int) length);
        cutIf(last);
        super.truncate(length);
      }
    };
  }

  private static void apply(Naming n, Map<String, Node> names) {
    if (n.from() != null) {
      names.remove(n.from());
    }
    if (n.to() != null) {
      names.put(n.to(), n.node());
    }
  }

  /** How much of what was not forced is left. */
  private enum Mood {
    NOTHING,
    ALL,
    IN_ORDER,
    ANY
  }

  /** Builds what may be found after the power is back. */
  void survivors(Path into) throws IOException {
    Mood[] moods = Mood.values();
    build(tree, into, moods[random.nextInt(moods.length)], new HashMap<>());
  }

  private void build(FolderNode folder, Path into, Mood mood, Map<Node, byte[]> built)
      throws IOException {
    Files.createDirectories(into);
    Map<String, Node> names = new TreeMap<>(folder.durable);
    int inOrder = random.nextInt(folder.pending.size() + 1);
    for (int i = 0; i < folder.pending.size(); i++) {
      boolean stays =
          switch (mood) {
            case NOTHING -> false;
            case ALL -> true;
            case IN_ORDER -> i < inOrder;
            case ANY -> random.nextBoolean();
          };
      if (stays) {
        apply(folder.pending.get(i), names);
      }
    }
    for (Map.Entry<String, Node> e : names.entrySet()) {
      Path path = into.resolve(e.getKey());
      if (e.getValue() instanceof FolderNode f) {
        build(f, path, mood, built);
      } else {
        byte[] bytes = built.computeIfAbsent(e.getValue(), n -> left((FileNode) n, mood));
        Files.write(path, bytes);
      }
    }
  }

  private byte[] left(FileNode file, Mood mood) {
    byte[] durable = file.durable;
    if (!file.cuts.isEmpty() && (mood == Mood.ALL || random.nextBoolean())) {
      durable = Arrays.copyOf(durable, Math.min(durable.length, file.cuts.get(0)));
    }
    byte[] live = file.live;
    if (mood == Mood.NOTHING || live.length <= durable.length) {
      return durable;
    }
    if (mood == Mood.ALL) {
      return live;
    }
    int length = durable.length + random.nextInt(live.length - durable.length + 1);
    if (random.nextBoolean()) {
      length = live.length;
    }
    byte[] out = Arrays.copyOf(durable, length);
    for (int start = 0; start < length; start += SECTOR) {
      boolean came = mood == Mood.IN_ORDER || random.nextBoolean();
      int from = Math.max(start, durable.length);
      int to = Math.min(start + SECTOR, length);
      if (came && from < to) {
        System.arraycopy(live, from, out, from, to - from);
      }
    }
    return out;
  }
}
