package meterside.desk;

import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.function.Consumer;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Words;
import meterside.job.StopKey;

/** Asks for a stop by a few letters of its name. */
final class StopChoice {
  private StopChoice() {}

  /** Shows the chooser near a position of the window. */
  static void ask(
      JobDesk desk, Overlay overlay, double sceneX, double sceneY, Consumer<StopKey> then) {
    List<StopKey> keys = desk.job().stopKeys();
    Chooser<StopKey> chooser =
        new Chooser<>(
            Words.say("choose.stop"),
            typed ->
                keys.stream()
                    .filter(k -> title(desk, k).contains(typed.toLowerCase(Locale.ROOT)))
                    .sorted(
                        Comparator.comparing(
                            k -> !title(desk, k).startsWith(typed.toLowerCase(Locale.ROOT))))
                    .toList(),
            k -> new Chooser.Line(desk.job().title(k), ""),
            k -> {
              overlay.close();
              then.accept(k);
            });
    overlay.near(chooser, sceneX, sceneY, () -> {});
    chooser.begin();
  }

  private static String title(JobDesk desk, StopKey k) {
    return desk.job().title(k).toLowerCase(Locale.ROOT);
  }
}
