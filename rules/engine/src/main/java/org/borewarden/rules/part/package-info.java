/** What the rules file names, valid by construction: features, limits, decision rules, watches. */
@NullMarked
package org.borewarden.rules.part;

import org.jspecify.annotations.NullMarked;
