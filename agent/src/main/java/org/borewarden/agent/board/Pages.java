package org.borewarden.agent.board;

import java.io.IOException;
import java.io.InputStream;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** The files of the page, read once from the program itself; nothing else can be asked for. */
final class Pages {
  private static final String CHART = "/META-INF/resources/webjars/uplot/1.6.30/";
  private static final List<String> OWN =
      List.of(
          "board.html",
          "sign-in.html",
          "icon.svg",
          "board.css",
          "board.js",
          "stream.js",
          "queue.js",
          "runs.js",
          "chart.js",
          "place.js",
          "gauge.js",
          "make.js",
          "words.js",
          "words-en.js",
          "words-de.js");

  private final Map<String, Page> pages;

  /** A file: its media type and what it holds. */
  static final class Page {
    private final String type;
    private final byte[] bytes;

    private Page(String type, byte[] bytes) {
      this.type = type;
      this.bytes = bytes;
    }

    String type() {
      return type;
    }

    /** Not to be changed. */
    byte[] bytes() {
      return bytes;
    }
  }

  private Pages(Map<String, Page> pages) {
    this.pages = Map.copyOf(pages);
  }

  static Pages read() throws IOException {
    Map<String, Page> pages = new HashMap<>();
    for (String name : OWN) {
      pages.put("/" + name, page(name, "/org/borewarden/agent/board/" + name));
    }
    pages.put("/chart-library.js", page("chart.js", CHART + "dist/uPlot.esm.js"));
    pages.put("/chart-library.css", page("chart.css", CHART + "dist/uPlot.min.css"));
    pages.put("/chart-library-licence", page("licence", CHART + "LICENSE"));
    return new Pages(pages);
  }

  private static Page page(String name, String resource) throws IOException {
    try (InputStream in = Pages.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IOException("the page lacks " + resource);
      }
      return new Page(type(name), in.readAllBytes());
    }
  }

  private static String type(String name) {
    return switch (name.substring(name.lastIndexOf('.') + 1)) {
      case "html" -> "text/html; charset=utf-8";
      case "css" -> "text/css; charset=utf-8";
      case "svg" -> "image/svg+xml";
      case "js" -> "text/javascript; charset=utf-8";
      default -> "text/plain; charset=utf-8";
    };
  }

  Optional<Page> at(String path) {
    return Optional.ofNullable(pages.get(path.equals("/") ? "/board.html" : path));
  }
}
