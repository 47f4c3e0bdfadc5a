package meterside.cli;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;

/** What a command came to: lines for people, an object for programs, an exit code. */
final class Outcome {
  final ObjectNode json = JsonNodeFactory.instance.objectNode();
  final List<String> lines = new ArrayList<>();

  /** Sentences that go to standard error, whatever form the output has. */
  final List<String> notices = new ArrayList<>();

  int exit;

  Outcome line(String text) {
    lines.add(text);
    return this;
  }

  Outcome notice(String text) {
    notices.add(text);
    return this;
  }

  Outcome exit(int code) {
    exit = code;
    return this;
  }
}
