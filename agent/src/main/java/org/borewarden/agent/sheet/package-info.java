/**
 * A spreadsheet file that grows a line for each bore, for those whose spreadsheet is the system.
 */
@NullMarked
package org.borewarden.agent.sheet;

import org.jspecify.annotations.NullMarked;
