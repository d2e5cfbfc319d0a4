package org.borewarden.agent.frame;

import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.FrameCheck;
import org.borewarden.agent.config.FrameCheck.Covers;
import org.borewarden.agent.config.FrameCheck.Written;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.frame.Cut.Broken;
import org.borewarden.agent.frame.Cut.Flaw;
import org.borewarden.agent.frame.Cut.Whole;

/** Takes the checksum off each frame of another cutter, and breaks the frame where it is wrong. */
final class CheckedCutter implements FrameCutter {
  private final FrameCutter cutter;
  private final FrameCheck check;
  private final String before;
  private final String behind;
  private long junkBytes;

  CheckedCutter(FrameCutter cutter, PortConfig.Frame frame, FrameCheck check) {
    this.cutter = cutter;
    this.check = check;
    this.before = check.covers() == Covers.ALL ? frame.starts().orElse("") : "";
    boolean withEnd = check.afterEnd() && check.covers() != Covers.DATA;
    this.behind = withEnd ? frame.ends().orElse("") : "";
  }

  @Override
  public void opened() {
    cutter.opened();
  }

  @Override
  public void quiet() {
    cutter.quiet();
  }

  @Override
  public void gap() {
    cutter.gap();
  }

  @Override
  public Optional<Cut> lost() {
    return cutter.lost();
  }

  @Override
  public List<Cut> take(byte[] bytes, int length) {
    return cutter.take(bytes, length).stream().map(this::checked).toList();
  }

  @Override
  public long junkBytes() {
    return cutter.junkBytes() + junkBytes;
  }

  private Cut checked(Cut cut) {
    if (!(cut instanceof Whole whole)) {
      return cut;
    }
    String text = whole.text();
    int at = text.length() - check.length();
    if (at > 0) {
      String data = text.substring(0, at);
      String found = text.substring(at);
      String right = Checksums.written(check, Checksums.of(check.kind(), before + data + behind));
      if (check.written() == Written.HEX ? right.equalsIgnoreCase(found) : right.equals(found)) {
        return new Whole(data);
      }
    }
    junkBytes += text.length();
    return new Broken(Flaw.CHECKSUM, text);
  }
}
