package org.borewarden.rules.watch;

/** What a watch remembers between bores: records of plain numbers, written into snapshots. */
public sealed interface WatchState
    permits OneSideState, ForecastState, ChartState, CapabilityState, FormState, OffsetState {}
