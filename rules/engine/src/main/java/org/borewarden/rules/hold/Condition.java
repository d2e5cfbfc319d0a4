package org.borewarden.rules.hold;

import java.util.Optional;

/**
 * What withholds the permit while it stands, and clears by itself after a synced record.
 *
 * @param reason its kind: one of the reasons 20 to 39
 * @param subject what it concerns where several can stand at once, such as a gauge or a feature
 */
public record Condition(Reason reason, Optional<String> subject) {}
