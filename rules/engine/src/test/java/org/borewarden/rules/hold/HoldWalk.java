package org.borewarden.rules.hold;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Deque;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;

/**
 * Walks every reachable state of one hold together with its journal. The journal is abstracted to
 * what a stop can reveal of it: what a start after a power cut would find now, what it would find
 * if the commit that is under way reached the disk, and where the record of a grant stands. Inputs,
 * commit begin, commit end, clean stop and power cut interleave in every order.
 */
final class HoldWalk {
  /** Where a record stands that is not synced. */
  enum Place {
    NONE,
    WRITTEN,
    IN_COMMIT
  }

  /**
   * A state of the walk.
   *
   * @param synced what a start after a power cut finds
   * @param committing what it finds if the commit under way reached the disk
   * @param live the hold
   * @param grant where the record of the grant in flight stands
   * @param cleared where the record of the last cleared condition stands
   * @param voided voided grants whose records are written and not in a commit
   * @param voidedInCommit voided grants whose records are in the commit
   * @param lost whether a finding, raised and never released, is in no record any more
   */
  record Node(
      int synced,
      Optional<Integer> committing,
      int live,
      Place grant,
      Place cleared,
      Set<Grant.Kind> voided,
      Set<Grant.Kind> voidedInCommit,
      boolean lost) {}

  private final Rig rig;
  private final boolean followsVoided;
  private final Map<HoldState, Integer> shapeIds = new HashMap<>();
  private final List<HoldState> shapes = new ArrayList<>();
  private final List<List<Arc>> arcs = new ArrayList<>();
  private final Map<Node, Integer> nodeIds = new HashMap<>();
  private final List<Node> nodes = new ArrayList<>();
  private final List<Integer> cameFrom = new ArrayList<>();
  private final List<String> cameBy = new ArrayList<>();
  private final List<List<Integer>> reverse = new ArrayList<>();
  private final Deque<Integer> open = new ArrayDeque<>();
  private final Map<String, Integer> violations = new TreeMap<>();
  private final Map<String, String> examples = new TreeMap<>();
  private int edges;
  private int here;

  /** An input's effect on a shape, kept since many nodes share the shape. */
  private record Arc(
      String name, int to, boolean asks, boolean keeps, boolean clears, List<String> broken) {}

  HoldWalk(Rig rig) {
    this.rig = rig;
    this.followsVoided = rig instanceof Rig.NoRevisionCheck;
  }

  /** Walks to the end, or until more than this many violations were found. */
  HoldWalk run(int enough) {
    HoldState first =
        HoldMachine.step(HoldState.initial(Cell4.AT), new HoldInput.Restarted(true), 1, Cell4.AT)
            .next();
    int live = shape(first);
    reach(started(live, false), "start");
    while (!open.isEmpty() && found() <= enough) {
      here = open.removeFirst();
      expand(nodes.get(here));
    }
    return this;
  }

  int states() {
    return nodes.size();
  }

  int edges() {
    return edges;
  }

  int found() {
    return violations.values().stream().mapToInt(Integer::intValue).sum();
  }

  Map<String, Integer> violations() {
    return violations;
  }

  Map<String, String> examples() {
    return examples;
  }

  /** The states from which no sequence of events leads to a permitted RUN. */
  int statesThatNeverRun() {
    BitSet runs = new BitSet();
    Deque<Integer> todo = new ArrayDeque<>();
    for (int i = 0; i < nodes.size(); i++) {
      HoldState live = shapes.get(nodes.get(i).live());
      if (live.phase() == Phase.PERMITTED && live.permitted()) {
        runs.set(i);
        todo.add(i);
      }
    }
    while (!todo.isEmpty()) {
      for (int from : reverse.get(todo.removeFirst())) {
        if (!runs.get(from)) {
          runs.set(from);
          todo.add(from);
        }
      }
    }
    return nodes.size() - runs.cardinality();
  }

  private void expand(Node n) {
    for (Arc arc : arcs(n.live())) {
      report(arc.broken(), arc.name());
      afterInput(n, arc);
    }
    if (n.committing().isEmpty()) {
      beginCommit(n);
    } else {
      endCommit(n, n.committing().get());
      powerCut(n, n.committing().get());
    }
    powerCut(n, n.synced());
    cleanStop(n);
  }

  private void afterInput(Node n, Arc arc) {
    Set<Grant.Kind> voided = n.voided();
    Set<Grant.Kind> inCommit = n.voidedInCommit();
    Place place = arc.keeps() ? n.grant() : arc.asks() ? Place.WRITTEN : Place.NONE;
    if (followsVoided && !arc.keeps() && n.grant() != Place.NONE) {
      Grant.Kind kind = shapes.get(n.live()).grant().orElseThrow().kind();
      voided = n.grant() == Place.WRITTEN ? with(voided, kind) : voided;
      inCommit = n.grant() == Place.IN_COMMIT ? with(inCommit, kind) : inCommit;
    }
    Place cleared = arc.clears() ? Place.WRITTEN : n.cleared();
    Node to =
        new Node(n.synced(), n.committing(), arc.to(), place, cleared, voided, inCommit, n.lost());
    go(n, to, Invariants.Edge.INPUT, false, arc.name());
  }

  private void beginCommit(Node n) {
    Place place = n.grant() == Place.NONE ? Place.NONE : Place.IN_COMMIT;
    Optional<Integer> committing = Optional.of(cut(n.live()));
    Place cleared = n.cleared() == Place.NONE ? Place.NONE : Place.IN_COMMIT;
    Node to =
        new Node(n.synced(), committing, n.live(), place, cleared, none(), n.voided(), n.lost());
    go(n, to, Invariants.Edge.INPUT, false, "commit begins");
  }

  private void endCommit(Node n, int committed) {
    HoldState live = rig.syncVoided(shapes.get(n.live()), n.voidedInCommit());
    boolean granted = n.grant() == Place.IN_COMMIT && live.equals(shapes.get(n.live()));
    boolean lost = n.lost();
    Place place = n.grant() == Place.IN_COMMIT ? Place.NONE : n.grant();
    if (granted) {
      boolean released = live.grant().orElseThrow().kind() == Grant.Kind.RELEASE;
      live = rig.step(live, new HoldInput.GrantSynced(live.revision())).next();
      lost = lost && !released;
    } else if (!live.equals(shapes.get(n.live()))) {
      place = Place.NONE;
    }
    Place cleared = n.cleared() == Place.IN_COMMIT ? Place.NONE : n.cleared();
    Node to =
        new Node(
            committed, Optional.empty(), shape(live), place, cleared, n.voided(), none(), lost);
    go(n, to, Invariants.Edge.COMMIT_END, granted && cleared == Place.NONE, "commit ends");
  }

  private void powerCut(Node n, int found) {
    HoldState live = shapes.get(n.live());
    boolean releaseSynced =
        n.grant() == Place.IN_COMMIT
            && n.committing().equals(Optional.of(found))
            && live.grant().orElseThrow().kind() == Grant.Kind.RELEASE;
    Set<String> gone = Invariants.keys(live);
    gone.retainAll(Set.of("a", "b"));
    gone.removeAll(Invariants.keys(shapes.get(found)));
    boolean lost = !releaseSynced && (n.lost() || !gone.isEmpty());
    Node to = started(found, lost);
    HoldState start = shapes.get(found); // a kind that was not synced may be lost: compare alike
    report(Invariants.always(start, start, Invariants.Edge.START, false, lost), "power cut");
    edge(to, "power cut");
  }

  private void cleanStop(Node n) {
    HoldState live = shapes.get(n.live());
    boolean released = live.grant().isPresent() && live.grant().get().kind() == Grant.Kind.RELEASE;
    int found = shape(rig.step(live, new HoldInput.Restarted(true)).next());
    boolean lost = n.lost() && !released;
    Node to = started(found, lost);
    go(n, to, Invariants.Edge.START, false, "clean stop");
  }

  private Node started(int live, boolean lost) {
    return new Node(
        cut(live), Optional.empty(), live, Place.NONE, Place.NONE, none(), none(), lost);
  }

  private void go(Node from, Node to, Invariants.Edge edge, boolean granted, String name) {
    HoldState a = shapes.get(from.live());
    HoldState b = shapes.get(to.live());
    report(Invariants.always(a, b, edge, granted, to.lost()), name);
    edge(to, name);
  }

  private void edge(Node to, String name) {
    edges++;
    int id = reach(to, name);
    if (id != here) {
      reverse.get(id).add(here);
    }
  }

  private int reach(Node node, String name) {
    Integer known = nodeIds.get(node);
    if (known != null) {
      return known;
    }
    int id = nodes.size();
    nodeIds.put(node, id);
    nodes.add(node);
    cameFrom.add(here);
    cameBy.add(name);
    reverse.add(new ArrayList<>());
    open.add(id);
    return id;
  }

  private void report(List<String> broken, String name) {
    for (String what : broken) {
      violations.merge(what, 1, Integer::sum);
      examples.computeIfAbsent(what, w -> trace(here) + " > " + name);
    }
  }

  private String trace(int node) {
    return node == 0 ? cameBy.get(0) : trace(cameFrom.get(node)) + " > " + cameBy.get(node);
  }

  private List<Arc> arcs(int shape) {
    while (arcs.size() <= shape) {
      arcs.add(List.of());
    }
    if (arcs.get(shape).isEmpty()) {
      HoldState from = shapes.get(shape);
      List<Arc> made = new ArrayList<>();
      for (WalkInputs.Happening happening : WalkInputs.of(from)) {
        HoldStep step = rig.step(from, happening.input());
        boolean keeps = step.next().grant().equals(from.grant());
        made.add(
            new Arc(
                happening.name(),
                shape(step.next()),
                step.grantPending().isPresent(),
                keeps,
                step.next().conditions().size() < from.conditions().size(),
                Invariants.onInput(from, step, happening)));
      }
      while (arcs.size() <= shape) {
        arcs.add(List.of());
      }
      arcs.set(shape, made);
    }
    return arcs.get(shape);
  }

  /** What a start after a power cut makes of a state whose records are synced. */
  private int cut(int synced) {
    return cuts.computeIfAbsent(synced, s -> shape(rig.powerCut(shapes.get(s))));
  }

  private final Map<Integer, Integer> cuts = new HashMap<>();

  private int shape(HoldState state) {
    HoldState shape = Shape.of(state);
    Integer known = shapeIds.get(shape);
    if (known != null) {
      return known;
    }
    shapeIds.put(shape, shapes.size());
    shapes.add(shape);
    return shapes.size() - 1;
  }

  private static Set<Grant.Kind> none() {
    return EnumSet.noneOf(Grant.Kind.class);
  }

  private static Set<Grant.Kind> with(Set<Grant.Kind> kinds, Grant.Kind kind) {
    Set<Grant.Kind> more = EnumSet.copyOf(kinds);
    more.add(kind);
    return more;
  }
}
