package org.borewarden.rules.engine;

/**
 * What is remembered of the agent itself.
 *
 * @param bootId random at each start
 * @param bootNonce secret random text from which challenges are derived
 * @param rulesSinceStart whether rules were loaded or refused since the start
 * @param rulesValid whether the rules file was valid when it was last looked at
 */
record Life(int bootId, String bootNonce, boolean rulesSinceStart, boolean rulesValid) {
  static final Life NONE = new Life(0, "", false, false);

  Life withRules(boolean valid) {
    return new Life(bootId, bootNonce, true, valid);
  }
}
