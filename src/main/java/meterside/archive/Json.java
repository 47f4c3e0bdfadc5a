package meterside.archive;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.cfg.CoercionAction;
import com.fasterxml.jackson.databind.cfg.CoercionInputShape;
import com.fasterxml.jackson.databind.cfg.MapperConfig;
import com.fasterxml.jackson.databind.deser.std.StdScalarDeserializer;
import com.fasterxml.jackson.databind.introspect.AnnotatedClass;
import com.fasterxml.jackson.databind.introspect.JacksonAnnotationIntrospector;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdScalarSerializer;
import com.fasterxml.jackson.databind.type.LogicalType;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.function.Function;
import meterside.job.PhotoId;
import meterside.job.StopKey;

/**
 * How the archive's files write values: records as objects with their components in order, absent
 * components left out, enum constants in lower-kebab-case, a photo by its hash, a stop by its
 * written form, moments and zones as ISO 8601 text, maps by key. Reading is strict: an unknown
 * member, a missing number, a number where text belongs, or a number that is not finite is refused.
 */
final class Json {
  /** UTC with exactly three digits of the second's fraction. */
  private static final DateTimeFormatter MILLIS =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  /** Makes and reads trees; no two threads disturb each other. */
  static final ObjectMapper MAPPER =
      JsonMapper.builder()
          .addModule(values())
          .annotationIntrospector(new Kebab())
          .serializationInclusion(JsonInclude.Include.NON_NULL)
          .enable(SerializationFeature.ORDER_MAP_ENTRIES_BY_KEYS)
          .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
          .enable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
          .enable(DeserializationFeature.FAIL_ON_NUMBERS_FOR_ENUMS)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .enable(DeserializationFeature.FAIL_ON_READING_DUP_TREE_KEY)
          .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
          .disable(DeserializationFeature.ACCEPT_FLOAT_AS_INT)
          .disable(MapperFeature.ALLOW_COERCION_OF_SCALARS)
          .withCoercionConfig(
              LogicalType.Textual,
              c ->
                  c.setCoercion(CoercionInputShape.Integer, CoercionAction.Fail)
                      .setCoercion(CoercionInputShape.Float, CoercionAction.Fail)
                      .setCoercion(CoercionInputShape.Boolean, CoercionAction.Fail))
          .build();

  private Json() {}

  /** A moment as the archive writes it: UTC, milliseconds, {@code Z}. */
  static String moment(Instant at) {
    return MILLIS.format(at);
  }

  /**
   * The text of a tree. Half a surrogate pair (file names of some systems hold them) has no UTF-8
   * form; it can only stand inside a string, so it is written as an escape and comes back as it
   * was.
   */
  static String text(JsonNode tree) {
    String text;
    try {
      text = MAPPER.writeValueAsString(tree);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e); // a tree in memory can always be written
    }
    StringBuilder out = null;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      boolean half = false;
      if (Character.isSurrogate(c)) {
        boolean pair =
            Character.isHighSurrogate(c)
                && i + 1 < text.length()
                && Character.isLowSurrogate(text.charAt(i + 1));
        if (pair) {
          if (out != null) {
            out.append(c).append(text.charAt(i + 1));
          }
          i++;
          continue;
        }
        half = true;
      }
      if (half && out == null) {
        out = new StringBuilder(text.length() + 12).append(text, 0, i);
      }
      if (half) {
        out.append("\\u").append(Integer.toHexString(c));
      } else if (out != null) {
        out.append(c);
      }
    }
    return out == null ? text : out.toString();
  }

  /** Refuses a tree with a number that is not finite: JSON has none, and no fact is one. */
  static void requireFinite(JsonNode tree) {
    if (tree.isFloatingPointNumber() && !Double.isFinite(tree.doubleValue())) {
      throw new IllegalArgumentException("a number is not finite");
    }
    for (JsonNode child : tree) {
      requireFinite(child);
    }
  }

  private static SimpleModule values() {
    SimpleModule module = new SimpleModule();
    text(module, PhotoId.class, PhotoId::hex, PhotoId::new);
    text(module, StopKey.class, StopKey::toString, StopKey::parse);
    text(module, ZoneId.class, ZoneId::getId, ZoneId::of);
    text(module, LocalDate.class, LocalDate::toString, LocalDate::parse);
    text(module, Instant.class, Instant::toString, Instant::parse);
    return module;
  }

  private static <T> void text(
      SimpleModule module, Class<T> type, Function<T, String> write, Function<String, T> read) {
    module.addSerializer(
        type,
        new StdScalarSerializer<T>(type) {
          @Override
          public void serialize(T value, JsonGenerator out, SerializerProvider p)
              throws IOException {
            out.writeString(write.apply(value));
          }
        });
    module.addDeserializer(
        type,
        new StdScalarDeserializer<T>(type) {
          @Override
          public T deserialize(JsonParser in, DeserializationContext context) throws IOException {
            if (!in.hasToken(JsonToken.VALUE_STRING)) {
              return type.cast(context.handleUnexpectedToken(type, in));
            }
            String text = in.getText();
            try {
              return read.apply(text);
            } catch (DateTimeException | IllegalArgumentException e) {
              throw context.weirdStringException(text, type, e.getMessage());
            }
          }
        });
  }

  /** Names enum constants in lower-kebab-case. */
  private static final class Kebab extends JacksonAnnotationIntrospector {
    @Override
    public String[] findEnumValues(
        MapperConfig<?> config, AnnotatedClass type, Enum<?>[] constants, String[] names) {
      for (int i = 0; i < constants.length; i++) {
        names[i] = constants[i].name().toLowerCase(Locale.ROOT).replace('_', '-');
      }
      return names;
    }
  }
}
