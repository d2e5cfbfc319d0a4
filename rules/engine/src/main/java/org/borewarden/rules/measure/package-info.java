/** Exact lengths: whole picometres, units, decimal parsing and printing. */
@NullMarked
package org.borewarden.rules.measure;

import org.jspecify.annotations.NullMarked;
