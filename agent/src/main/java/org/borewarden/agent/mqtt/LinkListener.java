package org.borewarden.agent.mqtt;

/** Hears when a link is made or lost. */
@FunctionalInterface
public interface LinkListener {
  /**
   * The link was made, lost, or could not be made for a reason not given before. Called on the
   * link's thread; must only hand over.
   *
   * @param state how it stands now
   */
  void changed(LinkState state);
}
