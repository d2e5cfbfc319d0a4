/** The only door of the rules: event in, state and decisions out. */
@NullMarked
package org.borewarden.rules.engine;

import org.jspecify.annotations.NullMarked;
