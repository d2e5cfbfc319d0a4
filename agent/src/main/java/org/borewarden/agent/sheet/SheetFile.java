package org.borewarden.agent.sheet;

import java.io.IOException;
import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Optional;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/**
 * The file itself: RFC 4180, UTF-8, CRLF. Its last line says how far it goes, so that a restart
 * goes on behind it and no line comes twice. One thread.
 */
final class SheetFile {
  private static final String END = "\r\n";
  private static final int LONGEST_LINE = 64 * 1024;

  private final Path file;
  private final CSVFormat format;

  /**
   * A file that need not exist yet.
   *
   * @param file where
   * @param comma whether fields are parted by semicolons, since numbers have a decimal comma
   */
  SheetFile(Path file, boolean comma) {
    this.file = file;
    this.format =
        CSVFormat.RFC4180.builder().setDelimiter(comma ? ';' : ',').setRecordSeparator(END).get();
  }

  /**
   * How far it goes.
   *
   * @param journal the id of the journal of its last line
   * @param seq that line's entry
   */
  record Reached(String journal, long seq) {}

  /**
   * Cuts a line that was not finished when its writer died, and says how far the file goes.
   *
   * @return empty where it has no line yet
   * @throws IOException when it cannot be read or written, or is another file than ours
   */
  Optional<Reached> open() throws IOException {
    try (FileChannel channel =
        FileChannel.open(
            file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE)) {
      refuseOther(channel);
      long from = Math.max(0, channel.size() - LONGEST_LINE);
      String tail = read(channel, from, LONGEST_LINE);
      int end = tail.lastIndexOf(END);
      int whole = end < 0 ? 0 : end + END.length();
      channel.truncate(from + tail.substring(0, whole).getBytes(StandardCharsets.UTF_8).length);
      if (channel.size() == 0) {
        append(channel, List.of(SheetLine.HEAD));
        return Optional.empty();
      }
      int begin = end <= 0 ? 0 : tail.lastIndexOf(END, end - 1) + END.length();
      List<String> last = fields(tail.substring(begin < END.length() ? 0 : begin, end));
      return last.equals(SheetLine.HEAD) ? Optional.empty() : Optional.of(reached(last));
    }
  }

  /**
   * Adds lines.
   *
   * @param lines the fields of each
   * @throws IOException when another program keeps the file to itself, or the disk is full
   */
  void append(List<List<String>> lines) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.position(channel.size());
      append(channel, lines);
    }
  }

  private void append(FileChannel channel, List<List<String>> lines) throws IOException {
    StringWriter text = new StringWriter();
    for (List<String> line : lines) {
      format.printRecord(text, line.toArray());
    }
    ByteBuffer bytes = ByteBuffer.wrap(text.toString().getBytes(StandardCharsets.UTF_8));
    long before = channel.size();
    try {
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
    } catch (IOException e) {
      channel.truncate(before);
      throw e;
    }
  }

  private void refuseOther(FileChannel channel) throws IOException {
    String head = read(channel, 0, LONGEST_LINE);
    int end = head.indexOf(END);
    if (end >= 0 && !fields(head.substring(0, end)).equals(SheetLine.HEAD)) {
      throw new IOException(
          file + " is another file: expected the first line " + String.join(" ", SheetLine.HEAD));
    }
    if (end < 0
        && !head.isEmpty()
        && !(format.format(SheetLine.HEAD.toArray()) + END).startsWith(head)) {
      throw new IOException(file + " is another file: it has no line of ours");
    }
  }

  private Reached reached(List<String> last) throws IOException {
    int fields = last.size();
    try {
      return new Reached(last.get(fields - 2), Long.parseLong(last.get(fields - 1)));
    } catch (IndexOutOfBoundsException | NumberFormatException e) {
      throw new IOException(file + ": the last line has no journal and seq at its end", e);
    }
  }

  private List<String> fields(String line) throws IOException {
    try (CSVParser parser = CSVParser.parse(line, format)) {
      return parser.stream().findFirst().map(CSVRecord::toList).orElse(List.of());
    }
  }

  private static String read(FileChannel channel, long from, int most) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(most);
    long at = from;
    while (bytes.hasRemaining()) {
      int count = channel.read(bytes, at);
      if (count < 0) {
        break;
      }
      at += count;
    }
    return new String(bytes.array(), 0, bytes.position(), StandardCharsets.UTF_8);
  }
}
