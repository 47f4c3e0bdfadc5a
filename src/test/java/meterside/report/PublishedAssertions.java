package meterside.report;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.JsonSchema;
import com.networknt.schema.JsonSchemaFactory;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaValidatorsConfig;
import com.networknt.schema.SpecVersion;
import com.networknt.schema.resource.InputStreamSource;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;

/**
 * The W3C's test of the MUSTs of the Web Annotation Data Model ({@code annotationMusts.test}): a
 * list of assertions, each a JSON schema (draft 4) with the result it expects. Schemas refer to
 * each other by file name.
 */
final class PublishedAssertions {
  private static final ObjectMapper JSON = new ObjectMapper();

  private record Assertion(JsonSchema schema, boolean valid) {}

  private final Map<String, Assertion> assertions = new LinkedHashMap<>();

  PublishedAssertions(Path folder) throws IOException {
    Map<String, Path> byName = new TreeMap<>();
    try (Stream<Path> all = Files.walk(folder)) {
      all.filter(f -> f.toString().endsWith(".json"))
          .forEach(f -> byName.put(f.getFileName().toString(), f));
    }
    JsonSchemaFactory factory =
        JsonSchemaFactory.getInstance(
            SpecVersion.VersionFlag.V4,
            b ->
                b.schemaLoaders(
                    loaders ->
                        loaders.add(
                            iri -> {
                              String text = iri.toString().replaceFirst("#.*", "");
                              Path file = byName.get(text.substring(text.lastIndexOf('/') + 1));
                              InputStreamSource source =
                                  file == null ? null : () -> Files.newInputStream(file);
                              return source;
                            })));
    SchemaValidatorsConfig config =
        SchemaValidatorsConfig.builder().formatAssertionsEnabled(true).build();
    JsonNode musts = JSON.readTree(folder.resolve("annotations/annotationMusts.test").toFile());
    for (String name : flat(musts.path("assertions"))) {
      Path file = byName.get(name.substring(name.lastIndexOf('/') + 1));
      JsonNode schema = JSON.readTree(file.toFile());
      boolean valid = schema.path("expectedResult").asText("valid").equals("valid");
      SchemaLocation location = SchemaLocation.of("https://assertions.test/" + file.getFileName());
      assertions.put(name, new Assertion(factory.getSchema(location, schema, config), valid));
    }
  }

  private static List<String> flat(JsonNode list) {
    List<String> out = new ArrayList<>();
    for (JsonNode n : list) {
      if (n.isTextual()) {
        out.add(n.asText());
      } else {
        out.addAll(flat(n.isArray() ? n : n.path("assertions")));
      }
    }
    return out;
  }

  int count() {
    return assertions.size();
  }

  /** The assertions that do not come out as expected. */
  List<String> broken(JsonNode annotation) {
    List<String> out = new ArrayList<>();
    assertions.forEach(
        (name, a) -> {
          if (a.schema().validate(annotation).isEmpty() != a.valid()) {
            out.add(name);
          }
        });
    return out;
  }
}
