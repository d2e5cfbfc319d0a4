/**
 * The loop thread: stamps events, steps the engine, raises holds and beats. It owns all state of
 * the rules and never touches the disk; what needs durability waits here for its seq.
 */
@NullMarked
package org.borewarden.agent.loop;

import org.jspecify.annotations.NullMarked;
