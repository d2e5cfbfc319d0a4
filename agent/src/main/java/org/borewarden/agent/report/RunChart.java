package org.borewarden.agent.report;

import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import org.borewarden.rules.judge.AcceptanceZone;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;

/**
 * The run of a tool life as a drawing: bore after bore, deviation from nominal, with the limits,
 * the acceptance limits, the centre, offsets and findings. A bore's shape tells its verdict; colour
 * only helps. SVG 1.1, of which it uses line, rect, circle, polygon and text only, so that {@link
 * ChartDrawer} can put the same on paper. Drawn once and thrown away; by one thread.
 */
final class RunChart {
  private static final double WIDTH = 690;
  private static final double HEIGHT = 190;
  private static final double LEFT = 76;
  private static final double RIGHT = 12;
  private static final double TOP = 12;
  private static final double BOTTOM = 26;

  /** More marks than this could not be told apart; of each group the lowest and highest stay. */
  static final int MOST_MARKS = 600;

  private static final String INK = "#1b1b1b";
  private static final String FAINT = "#8a8a8a";
  private static final String LIMIT = "#8c1c13";
  private static final String IN = "#1f5673";

  private final StringBuilder svg = new StringBuilder();
  private final ToolLife life;
  private final Wanted wanted;
  private final Lives lives;
  private final Sizes sizes;
  private final Unit unit;
  private final double low;
  private final double high;

  private RunChart(ToolLife life, Wanted wanted, Lives lives) {
    this.life = life;
    this.wanted = wanted;
    this.lives = lives;
    this.sizes = new Sizes(wanted);
    this.unit = sizes.unit(life.bores.get(0));
    double least = edges().mapToDouble(Double::doubleValue).min().orElse(0);
    double most = edges().mapToDouble(Double::doubleValue).max().orElse(0);
    double margin = Math.max((most - least) * 0.07, 1e6);
    this.low = least - margin;
    this.high = most + margin;
  }

  static String of(ToolLife life, Wanted wanted, Lives lives, Texts texts) {
    RunChart chart = new RunChart(life, wanted, lives);
    chart.begin(texts.of("chart.alternative", life.feature.id(), life.bores.size()));
    chart.levels(texts);
    chart.offsets();
    chart.bores();
    chart.findings();
    chart.foot(texts);
    chart.svg.append("</svg>");
    return chart.svg.toString();
  }

  private Stream<Double> edges() {
    Feature feature = life.feature;
    return Stream.concat(
        Stream.concat(feature.limits().lower().stream(), feature.limits().upper().stream())
            .map(l -> (double) l.minus(feature.nominal()).picometres()),
        life.bores.stream().map(bore -> (double) bore.deviation().picometres()));
  }

  private void begin(String alternative) {
    svg.append("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100%\" viewBox=\"0 0 ")
        .append(number(WIDTH))
        .append(' ')
        .append(number(HEIGHT))
        .append("\" role=\"img\" aria-label=\"")
        .append(Page.escaped(alternative))
        .append("\">\n");
    rect(LEFT, TOP, WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM, "#fafafa", "#cfcfcf");
  }

  private void levels(Texts texts) {
    Feature feature = life.feature;
    feature.limits().upper().ifPresent(l -> level(l, LIMIT, 1.6, "", texts.of("chart.upper")));
    feature.limits().lower().ifPresent(l -> level(l, LIMIT, 1.6, "", texts.of("chart.lower")));
    AcceptanceZone zone = life.bores.get(life.bores.size() - 1).judgement().acceptance();
    zone.upper()
        .filter(l -> !feature.limits().upper().equals(Optional.of(l)))
        .ifPresent(l -> level(l, LIMIT, 0.8, "4 3", ""));
    zone.lower()
        .filter(l -> !feature.limits().lower().equals(Optional.of(l)))
        .ifPresent(l -> level(l, LIMIT, 0.8, "4 3", ""));
    feature.centre().ifPresent(l -> level(l, FAINT, 0.8, "1.5 3", texts.of("chart.centre")));
  }

  private void level(Length size, String colour, double width, String dash, String name) {
    double y = y((double) size.minus(life.feature.nominal()).picometres());
    line(LEFT, y, WIDTH - RIGHT, y, colour, width, dash);
    if (!name.isEmpty()) {
      BigDecimal off = Sizes.whole(size.minus(life.feature.nominal()), unit, 3);
      text(LEFT - 5, y + 3, "end", colour, name + " " + sizes.signed(off));
    }
  }

  private void offsets() {
    for (ToolLife.Offset offset : life.offsets) {
      double x = x(offset.afterBores() - 0.5);
      line(x, TOP, x, HEIGHT - BOTTOM, INK, 0.8, "2 2");
    }
  }

  private void bores() {
    int step = Math.max(1, (int) Math.ceil(2.0 * life.bores.size() / MOST_MARKS));
    for (int from = 0; from < life.bores.size(); from += step) {
      List<LifeBore> group = life.bores.subList(from, Math.min(life.bores.size(), from + step));
      LifeBore lowest = group.get(0);
      LifeBore highest = group.get(0);
      for (LifeBore bore : group) {
        lowest = bore.deviation().isBelow(lowest.deviation()) ? bore : lowest;
        highest = bore.deviation().isAbove(highest.deviation()) ? bore : highest;
      }
      for (int i = 0; i < group.size(); i++) {
        LifeBore bore = group.get(i);
        if (bore.seq() == lowest.seq()
            || bore.seq() == highest.seq()
            || bore.verdict() != Verdict.WITHIN) {
          bore(from + i, bore);
        }
      }
    }
  }

  private void bore(int index, LifeBore bore) {
    double x = x(index);
    double y = y((double) bore.deviation().picometres());
    boolean gone = lives.takenBack(bore.seq()).isPresent();
    boolean counts = wanted.holds(bore.at()) && !gone;
    String colour = counts ? IN : FAINT;
    switch (bore.verdict()) {
      case WITHIN -> circle(x, y, 2.1, colour, colour);
      case UNDERSIZE, OVERSIZE -> {
        String ink = counts ? LIMIT : FAINT;
        rect(x - 3.2, y - 3.2, 6.4, 6.4, ink, ink);
      }
      case UNDECIDED_LOW, UNDECIDED_HIGH -> diamond(x, y, counts ? INK : FAINT);
      case WITHHELD, CONFIRMING -> circle(x, y, 2.6, "#ffffff", counts ? INK : FAINT);
    }
    if (gone) {
      line(x - 4.5, y - 4.5, x + 4.5, y + 4.5, INK, 1, "");
      line(x - 4.5, y + 4.5, x + 4.5, y - 4.5, INK, 1, "");
    }
  }

  /** A foot under the bore at which it was first seen. */
  private void findings() {
    for (ToolLife.Seen seen : life.findings.values()) {
      for (int i = 0; i < life.bores.size(); i++) {
        if (!life.bores.get(i).at().isBefore(seen.first())) {
          double x = x(i);
          line(x, HEIGHT - BOTTOM, x, HEIGHT - BOTTOM - 9, INK, 1.8, "");
          break;
        }
      }
    }
  }

  private void foot(Texts texts) {
    LifeBore first = life.bores.get(0);
    LifeBore last = life.bores.get(life.bores.size() - 1);
    text(LEFT, HEIGHT - 12, "start", INK, texts.of("chart.part", first.bore().part()));
    text(WIDTH - RIGHT, HEIGHT - 12, "end", INK, texts.of("chart.part", last.bore().part()));
    text(
        (LEFT + WIDTH - RIGHT) / 2,
        HEIGHT - 12,
        "middle",
        FAINT,
        texts.of("chart.axis", unit.symbol()));
  }

  private double x(double index) {
    double inner = WIDTH - LEFT - RIGHT - 16;
    int count = life.bores.size();
    return LEFT + 8 + (count == 1 ? inner / 2 : inner * index / (count - 1));
  }

  private double y(double picometres) {
    return TOP + (HEIGHT - TOP - BOTTOM) * (high - picometres) / (high - low);
  }

  private void line(
      double x1, double y1, double x2, double y2, String colour, double width, String dash) {
    svg.append("<line");
    put("x1", x1);
    put("y1", y1);
    put("x2", x2);
    put("y2", y2);
    svg.append(" stroke=\"").append(colour).append('"');
    put("stroke-width", width);
    if (!dash.isEmpty()) {
      svg.append(" stroke-dasharray=\"").append(dash).append('"');
    }
    svg.append("/>\n");
  }

  private void rect(double x, double y, double width, double height, String fill, String stroke) {
    svg.append("<rect");
    put("x", x);
    put("y", y);
    put("width", width);
    put("height", height);
    painted(fill, stroke);
  }

  private void circle(double x, double y, double r, String fill, String stroke) {
    svg.append("<circle");
    put("cx", x);
    put("cy", y);
    put("r", r);
    painted(fill, stroke);
  }

  private void diamond(double x, double y, String stroke) {
    svg.append("<polygon points=\"")
        .append(number(x) + "," + number(y - 4.2) + " " + number(x + 4.2) + "," + number(y) + " ")
        .append(number(x) + "," + number(y + 4.2) + " " + number(x - 4.2) + "," + number(y) + "\"");
    painted("#ffffff", stroke);
  }

  private void painted(String fill, String stroke) {
    svg.append(" fill=\"").append(fill).append("\" stroke=\"").append(stroke).append("\"/>\n");
  }

  private void text(double x, double y, String anchor, String colour, String words) {
    svg.append("<text");
    put("x", x);
    put("y", y);
    svg.append(" font-size=\"9\" text-anchor=\"").append(anchor).append("\" fill=\"");
    svg.append(colour).append("\">").append(Page.escaped(words)).append("</text>\n");
  }

  private void put(String name, double value) {
    svg.append(' ').append(name).append("=\"").append(number(value)).append('"');
  }

  private static String number(double value) {
    return String.format(Locale.ROOT, "%.1f", value);
  }
}
