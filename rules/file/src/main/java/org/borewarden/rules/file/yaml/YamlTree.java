package org.borewarden.rules.file.yaml;

import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.dataformat.yaml.YAMLFactory;
import com.fasterxml.jackson.dataformat.yaml.YAMLParser;
import com.fasterxml.jackson.dataformat.yaml.snakeyaml.error.MarkedYAMLException;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Builds the tree of one YAML document: plain mappings, lists and scalars, nothing else. Used by
 * one thread.
 *
 * <p>Anchors, aliases, tags and further documents are refused, because a person who reads the file
 * should see what it says where it says it; a key that stands twice is refused because one of the
 * two would silently not count.
 */
public final class YamlTree {
  /** The most mappings and lists that may stand in each other. */
  public static final int DEEPEST = 20;

  /** The most keys and values. */
  public static final int MOST_NODES = 20_000;

  /** The most characters of a message of the YAML parser that is passed on. */
  private static final int LONGEST_COMPLAINT = 120;

  private static final YAMLFactory FACTORY = new YAMLFactory();

  private final YAMLParser parser;
  private final int[] characters;
  private final Problems problems;
  private int nodes;

  private YamlTree(YAMLParser parser, String text, Problems problems) {
    this.parser = parser;
    this.characters = text.codePoints().toArray();
    this.problems = problems;
  }

  /**
   * Reads a document.
   *
   * @param text the text
   * @param problems where it is told what is wrong with it
   * @return its root, if there is one to go on with; problems may stand beside it
   * @throws IllegalStateException never: a string can always be read
   */
  // Deprecated, but the only exception that says where in the text YAML ends to be YAML.
  @SuppressWarnings("deprecation")
  public static Optional<Node> read(String text, Problems problems) {
    if (!Characters.areAllowed(text, problems)) {
      return Optional.empty();
    }
    try (YAMLParser parser = FACTORY.createParser(text)) {
      return Optional.of(new YamlTree(parser, text, problems).document());
    } catch (Unreadable e) {
      problems.add(e.at, "", e.message);
    } catch (MarkedYAMLException e) {
      Position at =
          new Position(e.getProblemMark().getLine() + 1, e.getProblemMark().getColumn() + 1);
      problems.add(at, "", notYaml(e.getProblem()));
    } catch (JsonProcessingException e) {
      problems.add(position(e.getLocation()), "", notYaml(ours(e.getOriginalMessage())));
    } catch (IOException e) {
      throw new IllegalStateException("reading a string cannot fail", e);
    }
    return Optional.empty();
  }

  private static String notYaml(String problem) {
    return "expected YAML: " + Shown.shortened(problem, LONGEST_COMPLAINT);
  }

  /** The one complaint of the parser that shows its own inside. */
  private static String ours(String problem) {
    return problem.startsWith("Expected a field name") ? "a key is a single word" : problem;
  }

  private Node document() throws IOException, Unreadable {
    JsonToken first = parser.nextToken();
    if (first == null) {
      return new Node.Scalar(Position.START, "", true);
    }
    Node root = node(first, "", 0);
    if (parser.nextToken() != null) {
      problems.add(here(), "", "expected one document, found another after it");
    }
    return root;
  }

  private Node node(JsonToken token, String path, int depth) throws IOException, Unreadable {
    count(depth);
    refuseIndirection(path);
    return switch (token) {
      case START_OBJECT -> mapping(path, depth);
      case START_ARRAY -> sequence(path, depth);
      default -> new Node.Scalar(here(), parser.getText(), token == JsonToken.VALUE_NULL);
    };
  }

  private Node mapping(String path, int depth) throws IOException, Unreadable {
    Position at = here();
    List<Node.Entry> entries = new ArrayList<>();
    Map<String, Position> seen = new HashMap<>();
    while (parser.nextToken() == JsonToken.FIELD_NAME) {
      count(depth);
      String key = parser.currentName();
      Position keyAt = here();
      String keyPath = Shown.path(path, key);
      refuseIndirection(keyPath);
      Node value = node(parser.nextToken(), keyPath, depth + 1);
      Position first = seen.putIfAbsent(key, keyAt);
      if (first == null) {
        entries.add(new Node.Entry(key, keyAt, value));
      } else {
        problems.add(
            keyAt, keyPath, "expected each key once, found it in line " + first.line() + " too");
      }
    }
    return new Node.Mapping(at, entries);
  }

  private Node sequence(String path, int depth) throws IOException, Unreadable {
    Position at = here();
    List<Node> items = new ArrayList<>();
    for (JsonToken token = parser.nextToken();
        token != JsonToken.END_ARRAY;
        token = parser.nextToken()) {
      items.add(node(token, path + "[" + items.size() + "]", depth + 1));
    }
    return new Node.Sequence(at, items);
  }

  private void count(int depth) throws Unreadable {
    if (depth > DEEPEST) {
      throw new Unreadable(here(), "expected at most " + DEEPEST + " levels, found more");
    }
    if (++nodes > MOST_NODES) {
      throw new Unreadable(here(), "expected at most " + MOST_NODES + " values, found more");
    }
  }

  private void refuseIndirection(String path) throws IOException {
    if (parser.isCurrentAlias()) {
      problems.add(here(), path, "expected a value, found an alias (*); write the value out");
    } else if (isAnchored()) {
      problems.add(here(), path, "expected a value, found an anchor (&); write the value alone");
    }
    if (parser.getTypeId() != null) {
      problems.add(here(), path, "expected a value, found a tag (!); write the value alone");
    }
  }

  /** The parser drops the anchors of single values; the text does not. */
  private boolean isAnchored() throws IOException {
    long offset = parser.currentTokenLocation().getCharOffset();
    boolean inText = offset >= 0 && offset < characters.length;
    return parser.getObjectId() != null || (inText && characters[(int) offset] == '&');
  }

  private Position here() {
    return position(parser.currentTokenLocation());
  }

  private static Position position(JsonLocation at) {
    return new Position(Math.max(1, at.getLineNr()), Math.max(1, at.getColumnNr()));
  }

  /** Ends the reading: what follows cannot be told apart any more. */
  private static final class Unreadable extends Exception {
    private static final long serialVersionUID = 1L;
    private final transient Position at;
    private final String message;

    Unreadable(Position at, String message) {
      super(message);
      this.at = at;
      this.message = message;
    }
  }
}
