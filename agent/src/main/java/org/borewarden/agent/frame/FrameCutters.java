package org.borewarden.agent.frame;

import org.borewarden.agent.config.MqttInLink;
import org.borewarden.agent.config.PortConfig;

/** Picks what cuts the frames of a port. */
public final class FrameCutters {
  private FrameCutters() {}

  /**
   * What cuts the frames of a port.
   *
   * @param port how its bytes come and how its frames look
   * @return a cutter for one thread
   */
  public static FrameCutter of(PortConfig port) {
    PortConfig.Frame frame = port.frame();
    FrameCutter cutter = port.link() instanceof MqttInLink ? messages(frame) : bytes(frame);
    return frame
        .check()
        .<FrameCutter>map(check -> new CheckedCutter(cutter, frame, check))
        .orElse(cutter);
  }

  private static FrameCutter messages(PortConfig.Frame frame) {
    return new MessageCutter(frame.longest());
  }

  private static FrameCutter bytes(PortConfig.Frame frame) {
    if (frame.starts().isPresent()) {
      return new StartCutter(frame);
    }
    return frame.length().isPresent() ? new LengthCutter(frame) : new Framer(frame);
  }
}
