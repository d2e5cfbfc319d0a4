package org.borewarden.agent.hold.modbus;

/**
 * A feature that the cell names by its number.
 *
 * @param id the feature's id
 * @param gauge the gauge that measures it
 */
public record NumberedFeature(String id, String gauge) {}
