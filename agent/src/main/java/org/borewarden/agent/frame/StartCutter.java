package org.borewarden.agent.frame;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.FrameCheck;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.frame.Cut.Broken;
import org.borewarden.agent.frame.Cut.Flaw;
import org.borewarden.agent.frame.Cut.Whole;

/**
 * Cuts frames that begin with bytes of their own, such as STX, and end with others or after a fixed
 * number. What stands between two frames is junk. Since the start is in the bytes, a frame is whole
 * even right after opening; a start within a frame means that the rest of the frame before it was
 * lost.
 */
final class StartCutter implements FrameCutter {
  private enum Now {
    /** Between frames. */
    SEEKING,
    /** Within a frame. */
    INSIDE,
    /** Behind the end, where a checksum stands. */
    BEHIND
  }

  private final byte[] starts;
  private final Optional<Terminator> terminator;
  private final int body;
  private final int behind;
  private final byte[] held;
  private int count;
  private int left;
  private boolean parted;
  private Now now = Now.SEEKING;
  private long junkBytes;

  StartCutter(PortConfig.Frame frame) {
    this.starts = frame.starts().orElse("").getBytes(StandardCharsets.ISO_8859_1);
    this.terminator =
        frame.length().isPresent() ? Optional.empty() : Optional.of(Terminator.of(frame.ends()));
    this.body = frame.length().orElse(frame.longest());
    this.behind = frame.check().filter(FrameCheck::afterEnd).map(FrameCheck::length).orElse(0);
    int ends = terminator.map(Terminator::length).orElse(0);
    this.held = new byte[starts.length + body + ends + behind + 1];
  }

  @Override
  public void opened() {
    count = 0;
    now = Now.SEEKING;
    parted = false;
  }

  @Override
  public void quiet() {}

  /** The rest of the frame would have come by now: what is held is given up at the next byte. */
  @Override
  public void gap() {
    parted = true;
  }

  @Override
  public Optional<Cut> lost() {
    Optional<Cut> half =
        now != Now.SEEKING && count > 0
            ? Optional.of(broken(Flaw.PARTIAL, count))
            : Optional.empty();
    opened();
    return half;
  }

  @Override
  public List<Cut> take(byte[] bytes, int length) {
    List<Cut> cuts = new ArrayList<>();
    if (parted) {
      lost().ifPresent(cuts::add);
    }
    for (int i = 0; i < length; i++) {
      take(bytes[i], cuts);
    }
    return cuts;
  }

  @Override
  public long junkBytes() {
    return junkBytes;
  }

  private void take(byte next, List<Cut> cuts) {
    held[count++] = next;
    switch (now) {
      case SEEKING -> seek();
      case INSIDE -> inside(cuts);
      case BEHIND -> {
        left--;
        if (left == 0) {
          whole(count, cuts);
        }
      }
    }
  }

  private void seek() {
    if (isStart()) {
      count = 0;
      now = Now.INSIDE;
    } else if (count == starts.length) {
      junkBytes++;
      System.arraycopy(held, 1, held, 0, count - 1);
      count--;
    }
  }

  private void inside(List<Cut> cuts) {
    if (isStart()) {
      if (count > starts.length) {
        cuts.add(broken(Flaw.PARTIAL, count - starts.length));
      }
      count = 0;
    } else if (terminator.isPresent() && terminator.get().ends(held, count)) {
      ended(count - terminator.get().length(), cuts);
    } else if (terminator.isEmpty() && count == body) {
      ended(count, cuts);
    } else if (terminator.isPresent() && count > body + terminator.get().length()) {
      cuts.add(broken(Flaw.TOO_LONG, body));
      opened();
    }
  }

  private void ended(int length, List<Cut> cuts) {
    count = length;
    if (behind == 0) {
      whole(length, cuts);
    } else {
      left = behind;
      now = Now.BEHIND;
    }
  }

  private void whole(int length, List<Cut> cuts) {
    if (length > 0) {
      cuts.add(new Whole(text(length)));
    }
    opened();
  }

  private boolean isStart() {
    if (count < starts.length) {
      return false;
    }
    for (int i = 0; i < starts.length; i++) {
      if (held[count - starts.length + i] != starts[i]) {
        return false;
      }
    }
    return true;
  }

  private Broken broken(Flaw flaw, int length) {
    junkBytes += length;
    return new Broken(flaw, text(length));
  }

  private String text(int length) {
    return new String(held, 0, length, StandardCharsets.ISO_8859_1);
  }
}
