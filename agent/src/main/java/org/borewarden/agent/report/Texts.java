package org.borewarden.agent.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.Properties;
import java.util.Set;
import java.util.TreeSet;

/** The words of a report in one language; one file per language beside this class. */
public final class Texts {
  /** The languages that there are, each with its file. */
  public static final List<String> LANGUAGES = List.of("en", "de");

  private final String language;
  private final Properties words;

  private Texts(String language, Properties words) {
    this.language = language;
    this.words = words;
  }

  /**
   * The words of a language.
   *
   * @param language one of {@link #LANGUAGES}
   * @return its words
   * @throws UncheckedIOException when the agent's own file cannot be read
   */
  public static Texts in(String language) {
    String name = "texts_" + language + ".properties";
    Properties words = new Properties();
    try (InputStream in = Texts.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalArgumentException("no file " + name);
      }
      try (Reader reader = new InputStreamReader(in, StandardCharsets.UTF_8)) {
        words.load(reader);
      }
    } catch (IOException e) {
      throw new UncheckedIOException("reading " + name, e);
    }
    return new Texts(language, words);
  }

  /** The language's key. */
  String language() {
    return language;
  }

  /** A text, with what is to stand in its {0}, {1} and so on. */
  String of(String key, Object... parts) {
    String text = words.getProperty(key);
    if (text == null) {
      throw new IllegalArgumentException("no text " + key + " in " + language);
    }
    for (int i = 0; i < parts.length; i++) {
      text = text.replace("{" + i + "}", parts[i].toString());
    }
    return text;
  }

  /** The text of a key of the wire; the key itself where there is none, such as a rule's own. */
  String word(String group, String key) {
    return Optional.ofNullable(words.getProperty(group + "." + key)).orElse(key);
  }

  /** Every key that has a text. */
  Set<String> keys() {
    return new TreeSet<>(words.stringPropertyNames());
  }
}
