package org.borewarden.agent.frame;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.frame.Cut.Broken;
import org.borewarden.agent.frame.Cut.Flaw;
import org.borewarden.agent.frame.Cut.Whole;

/** For a source that gives whole frames: each message is one, whatever bytes it holds. */
final class MessageCutter implements FrameCutter {
  private final int longest;
  private long junkBytes;

  MessageCutter(int longest) {
    this.longest = longest;
  }

  @Override
  public void opened() {}

  @Override
  public void quiet() {}

  @Override
  public void gap() {}

  @Override
  public Optional<Cut> lost() {
    return Optional.empty();
  }

  @Override
  public List<Cut> take(byte[] bytes, int length) {
    String text = new String(bytes, 0, Math.min(length, longest), StandardCharsets.ISO_8859_1);
    if (length > longest) {
      junkBytes += length;
      return List.of(new Broken(Flaw.TOO_LONG, text));
    }
    return length == 0 ? List.of() : List.of(new Whole(text));
  }

  @Override
  public long junkBytes() {
    return junkBytes;
  }
}
