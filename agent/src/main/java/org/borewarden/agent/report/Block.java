package org.borewarden.agent.report;

import java.util.List;

/** A piece of a report's page. */
sealed interface Block {
  /**
   * A heading.
   *
   * @param level 2 or 3
   * @param text its words
   */
  record Heading(int level, String text) implements Block {}

  /**
   * A paragraph.
   *
   * @param kind {@code note}, {@code caution} or {@code good}
   * @param text its words
   */
  record Paragraph(String kind, String text) implements Block {}

  /**
   * Names with their values.
   *
   * @param rows pairs
   */
  record Facts(List<List<String>> rows) implements Block {
    public Facts {
      rows = List.copyOf(rows);
    }
  }

  /**
   * A table; also a sheet of the spreadsheet, under its name.
   *
   * @param name its caption
   * @param head the heads of its columns
   * @param rows its rows
   */
  record Table(String name, List<String> head, List<List<Cell>> rows) implements Block {
    public Table {
      head = List.copyOf(head);
      rows = List.copyOf(rows);
    }
  }

  /**
   * A chart.
   *
   * @param svg the drawing, an element
   * @param legend in words
   */
  record Chart(String svg, String legend) implements Block {}
}
