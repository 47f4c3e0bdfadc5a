package meterside.markup;

import java.util.function.Function;
import java.util.function.UnaryOperator;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.trade.Trade;

/**
 * How a drawing calls things.
 *
 * @param term the preferred term of a part id
 * @param photo what another photo is called on a plate ("IMG_0412"; in a report "Figure 4"), or
 *     null if it is not to be named
 */
public record Naming(UnaryOperator<String> term, Function<PhotoId, String> photo) {

  /** The trade's preferred terms, and photos by their file names without extension. */
  public static Naming of(Job job, Trade trade) {
    return of(job, trade::term);
  }

  /** Other terms, and photos by their file names without extension. */
  public static Naming of(Job job, UnaryOperator<String> term) {
    return new Naming(term, id -> fileName(job.photos().get(id)));
  }

  private static String fileName(Photo photo) {
    if (photo == null) {
      return null;
    }
    int dot = photo.name().lastIndexOf('.');
    return dot > 0 ? photo.name().substring(0, dot) : photo.name();
  }
}
