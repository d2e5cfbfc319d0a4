/** Statistics on deviations from nominal: regression and moments, each algorithm cited. */
@NullMarked
package org.borewarden.rules.stat;

import org.jspecify.annotations.NullMarked;
