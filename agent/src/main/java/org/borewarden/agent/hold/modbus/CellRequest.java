package org.borewarden.agent.hold.modbus;

import java.util.Optional;
import java.util.function.IntFunction;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.measure.Length;

/**
 * The cell's requests as orders. There is none for a release or a bypass, and there will be none:
 * they never come over Modbus.
 */
final class CellRequest {
  /** One step of an offset's argument, 0.1 micrometre on diameter. */
  static final long OFFSET_STEP_PICOMETRES = 100_000;

  private static final int TOOL_CHANGED = 1;
  private static final int OFFSET_ENTERED = 2;
  private static final int NEXT_PART = 3;
  private static final int DISCARD_LAST = 4;
  private static final int RING_CHECK = 5;

  /** Of the next readings; 6 is kept free. It is no order but part of what the cell says. */
  static final int FEATURE_AT_GAUGE = 7;

  private CellRequest() {}

  /**
   * The order that a block asks for.
   *
   * @param cell the cell
   * @param block its words
   * @param features the feature to its number
   * @return the order; empty where the request is not known or its argument names nothing
   */
  static Optional<Order> order(
      String cell, CellWords.Block block, IntFunction<Optional<NumberedFeature>> features) {
    return switch (block.request()) {
      case TOOL_CHANGED ->
          Optional.of(new Order.ToolChanged(cell, CellWords.Block.named(block.argument())));
      case OFFSET_ENTERED ->
          Optional.of(
              new Order.OffsetEntered(
                  cell,
                  CellWords.Block.named(block.tool()),
                  new Length((short) block.argument() * OFFSET_STEP_PICOMETRES)));
      case DISCARD_LAST ->
          features
              .apply(block.argument())
              .map(found -> new Order.Discard(found.id(), Optional.empty(), "asked at the cell"));
      case NEXT_PART -> features.apply(block.argument()).map(f -> new Order.NextPart(f.id()));
      case RING_CHECK ->
          features
              .apply(block.argument())
              .map(found -> new Order.RingCheck(found.gauge(), Optional.empty()));
      default -> Optional.empty();
    };
  }
}
