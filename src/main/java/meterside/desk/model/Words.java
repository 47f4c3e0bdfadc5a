package meterside.desk.model;

import java.util.Locale;
import meterside.job.FindingKind;
import meterside.job.Sentences;
import meterside.trade.Trade;

/** The desk's sentences: one bundle for views and view models. */
public final class Words {
  private static final Sentences ROOM = Sentences.in(Words.class);

  private Words() {}

  /** The sentence of a key. */
  public static String say(String key, Object... arguments) {
    return ROOM.say(key, arguments);
  }

  /** One of two sentences, {@code key.one} or {@code key.many}, with the count as {0}. */
  public static String count(String key, long count) {
    return ROOM.say(count == 1 ? key + ".one" : key + ".many", count);
  }

  /** A term of the trade where it stands alone: with a capital first letter. */
  public static String term(Trade trade, String part) {
    String text = trade.term(part);
    return text.isEmpty()
        ? text
        : text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  /** What the screen calls a kind of finding. */
  public static String kind(FindingKind kind) {
    return say("kind." + kind.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }
}
