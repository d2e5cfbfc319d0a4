/** The command line: one class per command. */
@NullMarked
package org.borewarden.agent.cli;

import org.jspecify.annotations.NullMarked;
