package org.borewarden.agent.frame;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.frame.Cut.Broken;
import org.borewarden.agent.frame.Cut.Flaw;
import org.borewarden.agent.frame.Cut.Whole;

/**
 * Cuts bytes into frames at a terminator; the same bytes give the same frames however they are
 * chunked. Holds at most one frame of the longest length. One thread only; never blocks.
 *
 * <p>A frame is {@link Whole} only when its beginning is known, which is so after a terminator and
 * after the line was seen quiet. So the first bytes after {@link #opened()} are doubted until one
 * of the two happens, and a frame that is interrupted by {@link #gap()} is doubted up to its end.
 * Empty frames are dropped silently, as CR LF and padding make them.
 */
public final class Framer implements FrameCutter {
  private enum Now {
    /** The beginning of the frame in hand is known. */
    SURE,
    /** The frame in hand may lack a part. */
    DOUBTED,
    /** The frame in hand is too long and was rejected; waiting for its end. */
    SKIPPING
  }

  private final Terminator terminator;
  private final int longest;
  private final byte[] held;
  private int count;
  private Now now = Now.DOUBTED;
  private long junkBytes;

  /**
   * A framer for one port.
   *
   * @param frame how its frames are cut
   */
  public Framer(PortConfig.Frame frame) {
    this.terminator = Terminator.of(frame.ends());
    this.longest = frame.longest();
    this.held = new byte[longest + terminator.length()];
  }

  @Override
  public void opened() {
    count = 0;
    now = Now.DOUBTED;
  }

  @Override
  public void quiet() {
    if (now == Now.DOUBTED && count == 0) {
      now = Now.SURE;
    }
  }

  @Override
  public void gap() {
    if (now == Now.SURE && count > 0) {
      now = Now.DOUBTED;
    }
  }

  @Override
  public Optional<Cut> lost() {
    Optional<Cut> half =
        count > 0 && now != Now.SKIPPING
            ? Optional.of(broken(Flaw.PARTIAL, count))
            : Optional.empty();
    opened();
    return half;
  }

  @Override
  public List<Cut> take(byte[] bytes, int length) {
    List<Cut> cuts = new ArrayList<>();
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
    if (terminator.ends(held, count)) {
      end(count - terminator.length(), cuts);
    } else if (now == Now.SKIPPING) {
      junkBytes++;
      keepTail();
    } else if (count == held.length) {
      cuts.add(broken(Flaw.TOO_LONG, longest));
      junkBytes += count - longest;
      now = Now.SKIPPING;
      keepTail();
    }
  }

  private void end(int length, List<Cut> cuts) {
    if (length > 0 && now == Now.SURE) {
      cuts.add(new Whole(text(length)));
    } else if (length > 0 && now == Now.DOUBTED) {
      cuts.add(broken(Flaw.PARTIAL, length));
    }
    count = 0;
    now = Now.SURE;
  }

  /** Keeps what may be the beginning of a terminator. */
  private void keepTail() {
    int tail = Math.min(count, terminator.length() - 1);
    System.arraycopy(held, count - tail, held, 0, tail);
    count = tail;
  }

  private Broken broken(Flaw flaw, int length) {
    junkBytes += length;
    return new Broken(flaw, text(length));
  }

  private String text(int length) {
    return new String(held, 0, length, StandardCharsets.ISO_8859_1);
  }
}
