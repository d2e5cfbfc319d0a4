package org.borewarden.agent.command;

import static org.borewarden.rules.engine.Role.CELL;
import static org.borewarden.rules.engine.Role.INSPECTOR;
import static org.borewarden.rules.engine.Role.IT;
import static org.borewarden.rules.engine.Role.QUALITY;
import static org.borewarden.rules.engine.Role.SETTER;
import static org.borewarden.rules.engine.Role.SUPERVISOR;

import java.util.EnumSet;
import java.util.Set;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;

/**
 * Which role may ask for what: the matrix of docs/hold.md. What can give a permit back is narrow;
 * what can only take it away (ending a bypass, asking for a hold) is wider.
 */
public final class Rights {
  private static final Set<Role> CELL_AND_SETTERS = EnumSet.of(SETTER, SUPERVISOR, CELL);
  private static final Set<Role> AT_THE_GAUGE = EnumSet.of(INSPECTOR, SETTER, SUPERVISOR, QUALITY);
  private static final Set<Role> AT_THE_GAUGE_OR_CELL =
      EnumSet.of(INSPECTOR, SETTER, SUPERVISOR, QUALITY, CELL);
  private static final Set<Role> RELEASERS = EnumSet.of(SETTER, SUPERVISOR, QUALITY);
  private static final Set<Role> SECONDS = EnumSet.of(SUPERVISOR, QUALITY);
  private static final Set<Role> HOLDERS = EnumSet.of(SETTER, SUPERVISOR, QUALITY, IT);

  private Rights() {}

  /**
   * Whether a role may give an order.
   *
   * @param role the role
   * @param order the order
   * @return true if the matrix says yes
   */
  public static boolean allows(Role role, Order order) {
    if (order instanceof Order.Release release) {
      boolean unfounded = release.evidence().isEmpty() && release.trialParts().isEmpty();
      return unfounded ? role == SUPERVISOR : RELEASERS.contains(role);
    }
    if (order instanceof Order.Discard discard) {
      // The cell has a key for "discard last" and no other.
      return AT_THE_GAUGE.contains(role) || (role == CELL && discard.seq().isEmpty());
    }
    return allowed(order).contains(role);
  }

  /**
   * Whether a role may ask for what a second person then has to confirm.
   *
   * @param role the role
   * @param order the order
   * @return true for quality's release without evidence, and its bypass
   */
  public static boolean allowsWithSecond(Role role, Order order) {
    return role == QUALITY && (order instanceof Order.Release || order instanceof Order.Bypass);
  }

  private static Set<Role> allowed(Order order) {
    if (order instanceof Order.Bypass) {
      return EnumSet.of(SUPERVISOR);
    }
    if (order instanceof Order.EndBypass) {
      return RELEASERS;
    }
    if (order instanceof Order.AskHold) {
      return HOLDERS;
    }
    if (order instanceof Order.CellTest) {
      return EnumSet.of(IT);
    }
    if (order instanceof Order.Heard || order instanceof Order.Stopped) {
      return EnumSet.of(CELL);
    }
    if (order instanceof Order.Context
        || order instanceof Order.ToolChanged
        || order instanceof Order.OffsetEntered) {
      return CELL_AND_SETTERS;
    }
    if (order instanceof Order.MeasureAgain
        || order instanceof Order.NextPart
        || order instanceof Order.RingCheck
        || order instanceof Order.Ask
        || order instanceof Order.Temperature) {
      return AT_THE_GAUGE_OR_CELL;
    }
    if (order instanceof Order.Attribute
        || order instanceof Order.Skip
        || order instanceof Order.StepForward
        || order instanceof Order.StepBack) {
      return AT_THE_GAUGE;
    }
    if (order instanceof Order.Rework
        || order instanceof Order.Challenge
        || order instanceof Order.CorrectSerial
        || order instanceof Order.HandOver) {
      return AT_THE_GAUGE;
    }
    if (order instanceof Order.FirstOff || order instanceof Order.CloseBatch) {
      return AT_THE_GAUGE_OR_CELL;
    }
    if (order instanceof Order.Concession || order instanceof Order.WithdrawConcession) {
      return EnumSet.of(QUALITY);
    }
    if (order instanceof Order.Mastered || order instanceof Order.GaugeDisturbed) {
      return AT_THE_GAUGE;
    }
    if (order instanceof Order.Acknowledge) {
      return AT_THE_GAUGE;
    }
    if (order instanceof Order.Shelve || order instanceof Order.Unshelve) {
      return SECONDS;
    }
    if (order instanceof Order.OutOfService || order instanceof Order.BackInService) {
      return EnumSet.of(QUALITY);
    }
    if (order instanceof Order.SendAgain
        || order instanceof Order.AdoptJournal
        || order instanceof Order.Reload) {
      return EnumSet.of(IT);
    }
    if (order instanceof Order.Confirm) {
      return SECONDS;
    }
    return EnumSet.noneOf(Role.class);
  }
}
