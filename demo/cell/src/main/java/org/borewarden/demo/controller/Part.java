package org.borewarden.demo.controller;

/**
 * A part as the cell knows it.
 *
 * @param number its number in cutting order, from 1
 * @param serial its serial, at most 16 ASCII characters
 * @param tool the tool that bored it
 * @param edge the edge of that tool
 */
public record Part(long number, String serial, int tool, int edge) {}
