/** Real programs that tests run against, each found or named as missing. */
@NullMarked
package org.borewarden.agent.peers;

import org.jspecify.annotations.NullMarked;
