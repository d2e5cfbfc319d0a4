/** Studies of a gauge, as library calls: what of the scatter is the gauge's and what the parts'. */
@NullMarked
package org.borewarden.rules.study;

import org.jspecify.annotations.NullMarked;
