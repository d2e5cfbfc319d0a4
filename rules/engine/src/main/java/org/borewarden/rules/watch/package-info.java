/** Rules over successive bores of one stream, one class each: a state record and its next. */
@NullMarked
package org.borewarden.rules.watch;

import org.jspecify.annotations.NullMarked;
