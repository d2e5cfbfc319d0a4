/** The promises of docs/reliability.md under attack: kills, broker, ports, disk, chance. */
@NullMarked
package org.borewarden.agent.faults;

import org.jspecify.annotations.NullMarked;
