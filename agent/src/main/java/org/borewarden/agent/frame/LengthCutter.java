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
 * Cuts frames of one length that nothing parts but silence: a frame begins with the first byte
 * after the line was seen quiet, or right behind a whole frame. What stood in hand when the line
 * fell quiet lacks its end and is rejected, so that one lost byte costs one frame.
 */
final class LengthCutter implements FrameCutter {
  private final byte[] held;
  private int count;
  private boolean sure;
  private boolean parted;
  private long junkBytes;

  LengthCutter(PortConfig.Frame frame) {
    this.held = new byte[frame.length().orElseThrow()];
  }

  @Override
  public void opened() {
    count = 0;
    sure = false;
    parted = false;
  }

  @Override
  public void quiet() {
    parted = true;
  }

  @Override
  public void gap() {
    parted = true;
  }

  @Override
  public Optional<Cut> lost() {
    Optional<Cut> half = count > 0 ? Optional.of(partial()) : Optional.empty();
    opened();
    return half;
  }

  @Override
  public List<Cut> take(byte[] bytes, int length) {
    List<Cut> cuts = new ArrayList<>();
    if (parted && length > 0) {
      if (count > 0) {
        cuts.add(partial());
      }
      count = 0;
      sure = true;
      parted = false;
    }
    for (int i = 0; i < length; i++) {
      held[count++] = bytes[i];
      if (count == held.length) {
        cuts.add(sure ? new Whole(text()) : partial());
        count = 0;
      }
    }
    return cuts;
  }

  @Override
  public long junkBytes() {
    return junkBytes;
  }

  private Broken partial() {
    junkBytes += count;
    return new Broken(Flaw.PARTIAL, text());
  }

  private String text() {
    return new String(held, 0, count, StandardCharsets.ISO_8859_1);
  }
}
