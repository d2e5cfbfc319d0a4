package org.borewarden.agent.report;

import java.util.List;

/**
 * A report before it is a page, a sheet or a file.
 *
 * @param language its language
 * @param title its title
 * @param under the line under it
 * @param blocks what it says, in order
 * @param foot the line at the foot of each page
 */
record Report(String language, String title, String under, List<Block> blocks, String foot) {
  Report {
    blocks = List.copyOf(blocks);
  }

  List<Block.Table> tables() {
    return blocks.stream()
        .filter(Block.Table.class::isInstance)
        .map(Block.Table.class::cast)
        .toList();
  }
}
