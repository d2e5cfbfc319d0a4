/** Tests of the report's parts. */
@NullMarked
package org.borewarden.agent.report;

import org.jspecify.annotations.NullMarked;
