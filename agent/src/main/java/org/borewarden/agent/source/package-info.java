/**
 * Bytes from devices: one thread a port opens its link, reads, cuts, decodes, and puts readings,
 * rejected frames and changes of the connection at the loop's door.
 *
 * <p>Two promises shape it. No reading is ever made of half a frame: where a frame may lack its
 * beginning (just after opening) or its middle (a long silence within it), it is rejected, and that
 * is seen. And nothing that a gauge sends, and nothing that happens to its cable, ends the thread.
 */
@NullMarked
package org.borewarden.agent.source;

import org.jspecify.annotations.NullMarked;
