/** Bytes from a file that another program adds to, and from standard input. */
@NullMarked
package org.borewarden.agent.source.file;

import org.jspecify.annotations.NullMarked;
