/** Tests of what commands make of what they see. */
@NullMarked
package org.borewarden.agent.cli;

import org.jspecify.annotations.NullMarked;
