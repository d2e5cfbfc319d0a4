/** The report of a shift, and of one part: what the journal says of it, as pages and sheets. */
@NullMarked
package org.borewarden.agent.report;

import org.jspecify.annotations.NullMarked;
