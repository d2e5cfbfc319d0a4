package org.borewarden.agent.report;

import com.openhtmltopdf.css.sheet.FontFaceRule;
import com.openhtmltopdf.css.style.CssContext;
import com.openhtmltopdf.extend.OutputDevice;
import com.openhtmltopdf.extend.SVGDrawer;
import com.openhtmltopdf.layout.SharedContext;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.render.Box;
import com.openhtmltopdf.render.RenderingContext;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Shape;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.List;
import org.apache.fontbox.ttf.GlyphData;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.jspecify.annotations.Nullable;
import org.w3c.dom.Element;
import org.w3c.dom.Node;

/**
 * Puts the drawings of {@link RunChart} on paper: the few elements that it uses, and letters as
 * outlines of the page's own font, so that no font of the machine is asked for. Used by one thread.
 */
final class ChartDrawer implements SVGDrawer {
  private final TrueTypeFont font;

  ChartDrawer(TrueTypeFont font) {
    this.font = font;
  }

  @Override
  public void importFontFaceRules(List<FontFaceRule> rules, SharedContext context) {}

  @Override
  public void addFontFile(
      File file, String family, @Nullable Integer weight, @Nullable FontStyle style) {}

  @Override
  public void close() {}

  @Override
  public SVGImage buildSVGImage(
      Element svg,
      Box box,
      CssContext context,
      double widthPixels,
      double heightPixels,
      double dotsPerPixel) {
    String[] view = svg.getAttribute("viewBox").split(" ", -1);
    double width = Double.parseDouble(view[2]);
    double height = Double.parseDouble(view[3]);
    double scale = box.getContainingBlock().getContentWidth() / width;
    return new SVGImage() {
      @Override
      public int getIntrinsicWidth() {
        return (int) (width * scale);
      }

      @Override
      public int getIntrinsicHeight() {
        return (int) (height * scale);
      }

      @Override
      public void drawSVG(OutputDevice device, RenderingContext rendering, double x, double y) {
        device.drawWithGraphics(
            (float) x,
            (float) y,
            (float) (width * scale / dotsPerPixel),
            (float) (height * scale / dotsPerPixel),
            graphics -> draw(graphics, svg, scale / dotsPerPixel));
      }
    };
  }

  private void draw(Graphics2D graphics, Element svg, double scale) {
    graphics.scale(scale, scale);
    for (Node node = svg.getFirstChild(); node != null; node = node.getNextSibling()) {
      if (node instanceof Element element) {
        draw(graphics, element);
      }
    }
  }

  private void draw(Graphics2D graphics, Element element) {
    if (element.getTagName().equals("text")) {
      text(graphics, element);
      return;
    }
    Shape shape = shape(element);
    if (element.hasAttribute("fill")) {
      graphics.setPaint(Color.decode(element.getAttribute("fill")));
      graphics.fill(shape);
    }
    graphics.setPaint(Color.decode(element.getAttribute("stroke")));
    graphics.setStroke(stroke(element));
    graphics.draw(shape);
  }

  private static Shape shape(Element element) {
    return switch (element.getTagName()) {
      case "line" ->
          new Line2D.Double(
              of(element, "x1"), of(element, "y1"), of(element, "x2"), of(element, "y2"));
      case "rect" ->
          new Rectangle2D.Double(
              of(element, "x"), of(element, "y"), of(element, "width"), of(element, "height"));
      case "circle" -> {
        double r = of(element, "r");
        yield new Ellipse2D.Double(of(element, "cx") - r, of(element, "cy") - r, 2 * r, 2 * r);
      }
      case "polygon" -> polygon(element.getAttribute("points"));
      default -> throw new IllegalArgumentException("no shape " + element.getTagName());
    };
  }

  private static Shape polygon(String points) {
    Path2D path = new Path2D.Double();
    for (String point : points.split(" ", -1)) {
      String[] at = point.split(",", -1);
      double x = Double.parseDouble(at[0]);
      double y = Double.parseDouble(at[1]);
      if (path.getCurrentPoint() == null) {
        path.moveTo(x, y);
      } else {
        path.lineTo(x, y);
      }
    }
    path.closePath();
    return path;
  }

  private static BasicStroke stroke(Element element) {
    float width = element.hasAttribute("stroke-width") ? (float) of(element, "stroke-width") : 1f;
    String dash = element.getAttribute("stroke-dasharray");
    if (dash.isEmpty()) {
      return new BasicStroke(width, BasicStroke.CAP_BUTT, BasicStroke.JOIN_MITER);
    }
    String[] parts = dash.split(" ", -1);
    float[] lengths = {Float.parseFloat(parts[0]), Float.parseFloat(parts[1])};
    return new BasicStroke(width, BasicStroke.CAP_BUTT, BasicStroke.JOIN_MITER, 10f, lengths, 0f);
  }

  private void text(Graphics2D graphics, Element element) {
    try {
      double scale = of(element, "font-size") / font.getUnitsPerEm();
      String words = element.getTextContent();
      double width = 0;
      for (int c : words.codePoints().toArray()) {
        width += scale * font.getAdvanceWidth(glyph(c));
      }
      double x =
          of(element, "x")
              - switch (element.getAttribute("text-anchor")) {
                case "end" -> width;
                case "middle" -> width / 2;
                default -> 0;
              };
      graphics.setPaint(Color.decode(element.getAttribute("fill")));
      for (int c : words.codePoints().toArray()) {
        GlyphData drawn = font.getGlyph().getGlyph(glyph(c));
        if (drawn != null) {
          AffineTransform place = new AffineTransform(scale, 0, 0, -scale, x, of(element, "y"));
          graphics.fill(place.createTransformedShape(drawn.getPath()));
        }
        x += scale * font.getAdvanceWidth(glyph(c));
      }
    } catch (IOException e) {
      throw new UncheckedIOException("reading the font of the page", e);
    }
  }

  private int glyph(int codePoint) throws IOException {
    return font.getUnicodeCmapLookup().getGlyphId(codePoint);
  }

  private static double of(Element element, String name) {
    return Double.parseDouble(element.getAttribute(name));
  }
}
