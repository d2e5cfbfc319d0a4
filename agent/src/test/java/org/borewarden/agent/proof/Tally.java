package org.borewarden.agent.proof;

import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/** Counts what was killed, and the cells that were held through it, by the state last told. */
final class Tally {
  private final Map<String, Integer> throughAgentKill = new TreeMap<>();
  private int agentKills;
  private int brokerKills;
  private int throughBrokerKill;
  private int notHeldBefore;

  void agentKilled() {
    agentKills++;
  }

  void brokerKilled() {
    brokerKills++;
  }

  /** A cell was found held after its agent was killed in that state. */
  void heldThroughKill(String state) {
    throughAgentKill.merge(state, 1, Integer::sum);
  }

  /** A cell with a permit, or whose release was being written, was found held after a kill. */
  void heldThoughFreeBefore() {
    notHeldBefore++;
  }

  /** A cell stayed as it was while the broker was killed and came back. */
  void heldThroughBroker() {
    throughBrokerKill++;
  }

  int heldThroughKill() {
    return throughAgentKill.values().stream().mapToInt(n -> n).sum();
  }

  int heldThroughBrokerKill() {
    return throughBrokerKill;
  }

  Set<String> states() {
    return throughAgentKill.keySet();
  }

  @Override
  public String toString() {
    return String.format(
        java.util.Locale.ROOT,
        "agent killed %d times, %d held cells stayed held %s, %d that were free were held;"
            + " broker killed %d times, %d held cells stayed held",
        agentKills,
        heldThroughKill(),
        throughAgentKill,
        notHeldBefore,
        brokerKills,
        throughBrokerKill);
  }
}
