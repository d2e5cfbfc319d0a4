package org.borewarden.agent.report;

import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.GregorianCalendar;
import java.util.TimeZone;
import org.apache.fontbox.FontBoxFont;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentInformation;
import org.apache.pdfbox.pdmodel.font.CIDFontMapping;
import org.apache.pdfbox.pdmodel.font.FontMapper;
import org.apache.pdfbox.pdmodel.font.FontMappers;
import org.apache.pdfbox.pdmodel.font.FontMapping;
import org.apache.pdfbox.pdmodel.font.PDCIDSystemInfo;
import org.apache.pdfbox.pdmodel.font.PDFontDescriptor;
import org.jspecify.annotations.Nullable;

/**
 * Makes a PDF of a page. The font is the one that the library brings and is embedded, and the dates
 * are the span's, so that the same page gives the same bytes on every machine.
 */
final class PdfFile {
  private static final String FONT = "/org/apache/pdfbox/resources/ttf/LiberationSans-Regular.ttf";

  private PdfFile() {}

  /**
   * Makes it.
   *
   * @param html the page
   * @param title its title
   * @param at the date that the file bears
   * @return the file
   * @throws IOException when the library cannot
   */
  static byte[] of(String html, String title, Instant at) throws IOException {
    XRLog.setLoggingEnabled(false);
    try (TrueTypeFont outlines = outlines()) {
      FontMappers.set(new OneFont(outlines));
      PdfRendererBuilder builder = new PdfRendererBuilder();
      builder.useFont(PdfFile::font, "Report");
      builder.useSVGDrawer(new ChartDrawer(outlines));
      builder.useReplacementText("?");
      builder.withProducer("Borewarden");
      builder.withHtmlContent(html, null);
      try (PdfBoxRenderer renderer = builder.buildPdfRenderer();
          PDDocument document = renderer.createPDFKeepOpen()) {
        dated(document, title, at);
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        document.save(bytes);
        return bytes.toByteArray();
      }
    }
  }

  private static void dated(PDDocument document, String title, Instant at) {
    PDDocumentInformation said = document.getDocumentInformation();
    GregorianCalendar date = GregorianCalendar.from(at.atZone(ZoneOffset.UTC));
    date.setTimeZone(TimeZone.getTimeZone(ZoneOffset.UTC));
    said.setTitle(title);
    said.setCreationDate(date);
    said.setModificationDate(date);
    document.setDocumentId(at.toEpochMilli());
  }

  private static TrueTypeFont outlines() throws IOException {
    try (InputStream in = font()) {
      return new TTFParser().parse(new RandomAccessReadBuffer(in));
    }
  }

  private static InputStream font() {
    InputStream font = PDDocument.class.getResourceAsStream(FONT);
    if (font == null) {
      throw new IllegalStateException("no font " + FONT);
    }
    return font;
  }

  /**
   * Stands for every font that is asked for by name. The library asks for the 14 usual ones whether
   * they are used or not, and would look through the machine's fonts and write a cache of them.
   *
   * @param font the page's own
   */
  private record OneFont(TrueTypeFont font) implements FontMapper {
    @Override
    public FontMapping<TrueTypeFont> getTrueTypeFont(
        String name, @Nullable PDFontDescriptor descriptor) {
      return new FontMapping<>(font, false);
    }

    @Override
    public FontMapping<FontBoxFont> getFontBoxFont(
        String name, @Nullable PDFontDescriptor descriptor) {
      return new FontMapping<>(font, false);
    }

    @Override
    public CIDFontMapping getCIDFont(
        String name, @Nullable PDFontDescriptor descriptor, @Nullable PDCIDSystemInfo system) {
      return new CIDFontMapping(null, font, false);
    }
  }
}
