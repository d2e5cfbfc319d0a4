/**
 * Every call that changes the journal's files, one by one: what a kill before it leaves behind, and
 * what comes of its failure. Many lives go on in one process, below a library in C that strikes.
 */
@org.jspecify.annotations.NullMarked
package org.borewarden.agent.faults.calls;
