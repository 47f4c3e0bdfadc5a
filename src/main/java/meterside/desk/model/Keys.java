package meterside.desk.model;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;

/**
 * The one table of keys. Each key does one thing in one place; keys of {@link Place#ANYWHERE} are
 * taken in no other place. Keys without a modifier are not heard while text is typed.
 */
public enum Keys {
  /** The sheet of keys. */
  SHEET(Place.ANYWHERE, "F1"),
  /** The find field. */
  FIND(Place.ANYWHERE, "Shortcut+F"),
  /** Past jobs. */
  PAST_JOBS(Place.ANYWHERE, "Shortcut+J"),
  /** Settings. */
  SETTINGS(Place.ANYWHERE, "Shortcut+Comma"),
  /** Light or dark. */
  THEME(Place.ANYWHERE, "Shortcut+L"),
  /** Leaves what is open: a choice, a tool, a place. */
  LEAVE(Place.ANYWHERE, "Esc"),

  /** Takes the last step back. */
  UNDO(Place.JOB, "Shortcut+Z"),
  /** Takes it in again. */
  REDO(Place.JOB, "Shortcut+Shift+Z", "Shortcut+Y"),
  /** Add photos. */
  ADD(Place.JOB, "Shortcut+I"),
  /** The report. */
  REPORT(Place.JOB, "Shortcut+R"),
  /** Before it goes out. */
  GOING_OUT(Place.JOB, "B"),
  /** The sheet. */
  LAY_OUT(Place.JOB, "G"),
  /** The cameras' clocks. */
  CLOCKS(Place.JOB, "Y"),
  /** Tests and counts. */
  DEVICES(Place.JOB, "Q"),
  /** The facts of the job. */
  FACTS(Place.JOB, "J"),
  /** Evidence: check, package, history. */
  EVIDENCE(Place.JOB, "U"),

  /** The next photo. */
  NEXT(Place.JOB, "Right"),
  /** The photo before. */
  BEFORE(Place.JOB, "Left"),
  /** The next stop. */
  NEXT_STOP(Place.JOB, "Page_Down", "Down"),
  /** The stop before. */
  STOP_BEFORE(Place.JOB, "Page_Up", "Up"),
  /** One photo more selected. */
  SELECT_NEXT(Place.JOB, "Shift+Right"),
  /** The selection one photo back. */
  SELECT_BEFORE(Place.JOB, "Shift+Left"),
  /** The next one to look at. */
  LOOK(Place.JOB, "N"),
  /** The stop that was asked for begins with this photo. */
  BEGINS(Place.JOB, "Shift+N"),
  /** It is right here. */
  KEEP(Place.JOB, "K"),
  /** Put it at a stop. */
  PUT(Place.JOB, "P"),
  /** Put it at the stop after. */
  PUT_AFTER(Place.JOB, "Close_Bracket", "Alt+Page_Down"),
  /** Put it at the stop before. */
  PUT_BEFORE(Place.JOB, "Open_Bracket", "Alt+Page_Up"),
  /** To other systems. */
  OTHER(Place.JOB, "O"),
  /** Leave it to the sorting again. */
  RELEASE(Place.JOB, "L"),
  /** Set aside. */
  ASIDE(Place.JOB, "X"),
  /** Note to self. */
  NOTE(Place.JOB, "S"),

  /** The callout tool. */
  CALLOUT(Place.JOB, "C"),
  /** The area tool. */
  AREA(Place.JOB, "A"),
  /** The redaction tool. */
  REDACT(Place.JOB, "R"),
  /** The measuring tool. */
  MEASURE(Place.JOB, "H"),
  /** Ties a close photo to its spot in this one. */
  SPOT(Place.JOB, "W"),
  /** How the report shows this photo. */
  FOR_REPORT(Place.JOB, "V"),
  /** Copies the marks to a look-alike photo. */
  COPY_MARKS(Place.JOB, "Shortcut+D"),
  /** What past jobs hold that is like this photo, or like the finding of the mark. */
  ALIKE(Place.JOB, "Shortcut+M"),
  /** The whole photo, or its pixels. */
  FIT(Place.JOB, "Z"),
  /** Larger. */
  LARGER(Place.JOB, "Plus", "Equals", "Shift+Equals", "Add"),
  /** Smaller. */
  SMALLER(Place.JOB, "Minus", "Subtract"),
  /** The next mark. */
  NEXT_MARK(Place.JOB, "M"),
  /** Another name for the mark. */
  RELABEL(Place.JOB, "Enter"),
  /** Ties the mark to a finding. */
  TIE(Place.JOB, "T"),
  /** The mark's second line. */
  SECOND_LINE(Place.JOB, "E"),
  /** Takes the mark away. */
  REMOVE(Place.JOB, "Delete", "Backspace"),
  /** Moves the mark a little. */
  NUDGE_LEFT(Place.MARK, "Left"),
  /** Moves the mark a little. */
  NUDGE_RIGHT(Place.MARK, "Right"),
  /** Moves the mark a little. */
  NUDGE_UP(Place.MARK, "Up"),
  /** Moves the mark a little. */
  NUDGE_DOWN(Place.MARK, "Down"),

  /** A new finding. */
  FINDING(Place.JOB, "F"),
  /** The next open duty. */
  DUTY(Place.JOB, "D"),
  /** Names one of several at this stop. */
  INSTANCE(Place.JOB, "I"),
  /** No reportable condition observed. */
  ANSWER_1(Place.DUTY, "1", "Numpad1"),
  /** A finding says it. */
  ANSWER_2(Place.DUTY, "2", "Numpad2"),
  /** Describe. */
  ANSWER_3(Place.DUTY, "3", "Numpad3"),
  /** Not present. */
  ANSWER_4(Place.DUTY, "4", "Numpad4"),
  /** Present, excluded. */
  ANSWER_5(Place.DUTY, "5", "Numpad5"),
  /** Not inspected, because. */
  ANSWER_6(Place.DUTY, "6", "Numpad6"),
  /** Cover removed. */
  ANSWER_7(Place.DUTY, "7", "Numpad7"),
  /** Cover not removed, because. */
  ANSWER_8(Place.DUTY, "8", "Numpad8"),
  /** Open again. */
  ANSWER_0(Place.DUTY, "0", "Numpad0"),
  /** Keeps what is written in a form. */
  KEEP_FORM(Place.FORM, "Shortcut+Enter"),
  /** The inspector's own past wording. */
  PAST_WORDING(Place.FORM, "Shortcut+W"),

  /** The photos of a stop. */
  LAY_STOP(Place.LAID_OUT, "1", "Numpad1"),
  /** The whole walk. */
  LAY_WALK(Place.LAID_OUT, "2", "Numpad2"),
  /** What may go. */
  LAY_SUGGESTED(Place.LAID_OUT, "3", "Numpad3"),
  /** A row down. */
  LAY_DOWN(Place.LAID_OUT, "Down"),
  /** A row up. */
  LAY_UP(Place.LAID_OUT, "Up"),
  /** A row down, selecting. */
  LAY_SELECT_DOWN(Place.LAID_OUT, "Shift+Down"),
  /** A row up, selecting. */
  LAY_SELECT_UP(Place.LAID_OUT, "Shift+Up"),
  /** The stop after. */
  LAY_NEXT_STOP(Place.LAID_OUT, "Page_Down"),
  /** The stop before. */
  LAY_STOP_BEFORE(Place.LAID_OUT, "Page_Up"),
  /** Everything selected. */
  LAY_ALL(Place.LAID_OUT, "Shortcut+A"),
  /** Side by side. */
  BESIDE(Place.LAID_OUT, "C"),
  /** All that was suggested set aside. */
  LAY_TAKE(Place.LAID_OUT, "Shift+X"),
  /** Larger pictures. */
  LAY_LARGER(Place.LAID_OUT, "Plus", "Equals", "Shift+Equals", "Add"),
  /** Smaller pictures. */
  LAY_SMALLER(Place.LAID_OUT, "Minus", "Subtract"),
  /** Shows it on the walk. */
  LAY_OPEN(Place.LAID_OUT, "Enter"),

  /** The wording shown, for a finding of the open job. */
  USE_WORDING(Place.PAST, "Shortcut+U"),
  /** What is like the one shown. */
  SIMILAR(Place.PAST, "Shortcut+M"),

  /** A draft. */
  OUT_DRAFT(Place.GOING_OUT, "T"),
  /** The final report. */
  OUT_ISSUE(Place.GOING_OUT, "F");

  /** Where a key is heard. */
  public enum Place {
    /** In every place. */
    ANYWHERE,
    /** In the job window. */
    JOB,
    /** In the job window while a mark is selected; goes before the job window's own. */
    MARK,
    /** On a duty. */
    DUTY,
    /** In a form. */
    FORM,
    /** On the sheet. */
    LAID_OUT,
    /** In past jobs. */
    PAST,
    /** Before it goes out. */
    GOING_OUT
  }

  private final Place place;
  private final List<String> combinations;

  Keys(Place place, String... combinations) {
    this.place = place;
    this.combinations = List.of(combinations);
  }

  /** Where it is heard. */
  public Place place() {
    return place;
  }

  /** Its keys, as JavaFX's key combinations read them; the first is the one shown. */
  public List<String> combinations() {
    return combinations;
  }

  /** What it does. */
  public String sentence() {
    return Words.say("key." + name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'));
  }

  /** The key as a screen says it ("Ctrl Z"). */
  public String shown(boolean mac) {
    return Arrays.stream(combinations.get(0).split("\\+"))
        .map(part -> cap(part, mac))
        .collect(Collectors.joining(" "));
  }

  private static String cap(String part, boolean mac) {
    return switch (part) {
      case "Shortcut" -> mac ? "⌘" : "Ctrl";
      case "Open_Bracket" -> "[";
      case "Close_Bracket" -> "]";
      case "Page_Down" -> Words.say("keyname.page-down");
      case "Page_Up" -> Words.say("keyname.page-up");
      case "Comma" -> ",";
      case "Plus" -> "+";
      case "Minus" -> "−";
      case "Left" -> "←";
      case "Right" -> "→";
      case "Up" -> "↑";
      case "Down" -> "↓";
      default -> part;
    };
  }

  /** The keys of a place, in the table's order. */
  public static List<Keys> of(Place place) {
    return Arrays.stream(values()).filter(k -> k.place == place).toList();
  }
}
