/**
 * The page for people: what is to be decided, how each bore runs, and what the inspector's hands
 * ask for. It reads the journal and the loop's last state, so that no viewer can delay either.
 */
@NullMarked
package org.borewarden.agent.board;

import org.jspecify.annotations.NullMarked;
