package org.borewarden.agent.hold.modbus;

import java.security.SecureRandom;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.reading.PartContext;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Turns what the cell says into events: link lost and back, changed words, requests. An event that
 * finds the inbox full is kept and offered again, so that the beat never waits for the inbox.
 *
 * <p>{@link #given}, {@link #shown}, {@link #answers} and {@link #answered} on any thread; the rest
 * on the output's thread.
 */
final class CellSide {
  private static final Logger LOG = LoggerFactory.getLogger(CellSide.class);

  private final String cell;
  private final Wires wires;
  private final EchoWatch echo;
  private final CellTestWalk walk;
  private final String nonce = Long.toHexString(new SecureRandom().nextLong());

  private volatile Answers answers = Answers.NONE;
  private volatile Optional<OpenRequest> open = Optional.empty();

  private Optional<Event> owedLink = Optional.empty();
  private Optional<CellReport> reported = Optional.empty();
  private PartContext context = PartContext.NONE;
  private boolean known;
  private int startCount;
  private int contextNumber;
  private boolean contextTold;
  private int requestNumber;
  private long requests;

  /** The feature that the cell said is at the gauge, of this part and since its start. */
  private Optional<String> feature = Optional.empty();

  /** The request that said so, until it is told; 0 none. */
  private int featureRequest;

  private record OpenRequest(String id, int number) {}

  CellSide(String cell, Wires wires, Duration echoWithin) {
    this.cell = cell;
    this.wires = wires;
    this.walk = new CellTestWalk(cell);
    this.echo = new EchoWatch(echoWithin, wires.clock().nanos());
  }

  void given() {
    echo.given(wires.clock().nanos());
  }

  void shown(int beat) {
    echo.shown(beat);
  }

  Answers answers() {
    return answers;
  }

  /**
   * Block A for a beat, or the step of a cell test that it shows.
   *
   * @param gives whether its permit, if it bears one, may be shown
   * @param mayWalk false for the first and the last image of a connection
   */
  int[] blockA(int beat, PermitImage image, boolean gives, boolean mayWalk) {
    int[] whole = RegisterMap.blockA(beat, image, answers);
    int[] plain = gives ? whole : RegisterMap.withoutPermit(whole);
    return walk.show(beat, image.testRun(), plain, mayWalk, wires.clock().nanos());
  }

  boolean linkUp() {
    return echo.up();
  }

  Duration echoAge() {
    return echo.age(wires.clock().nanos());
  }

  /** Takes a block B. */
  void take(int[] registers) {
    CellWords words = RegisterMap.words(registers);
    if (words instanceof CellWords.Refused refused) {
      wires.meter().refused(refused.why());
      LOG.debug("{}: block B refused: {}", cell, refused.detail());
    } else if (words instanceof CellWords.Block block) {
      walk.take(registers, wires.clock().nanos());
      take(block);
    }
    tick();
  }

  private void take(CellWords.Block block) {
    long now = wires.clock().nanos();
    if (!echo.echo(block.echo(), now)) {
      wires.meter().refused("echo");
    } else if (echo.movedAt() == now) {
      wires.meter().echoMoved();
    }
    if (!known || block.startCount() != startCount) {
      begin(block);
    }
    if (block.contextWhole() && block.contextNumber() != contextNumber) {
      contextNumber = block.contextNumber();
      context = contextNumber == 0 ? PartContext.NONE : block.context();
      contextTold = true;
      // Of another part nobody has said yet which of its bores is at the gauge.
      feature = Optional.empty();
    }
    report(block);
    request(block);
  }

  /**
   * Where we or the controller have just started, the numbers that stand are old: nothing of them
   * is taken, and the cell tells again (docs/cell-program.md).
   */
  private void begin(CellWords.Block block) {
    known = true;
    startCount = block.startCount();
    contextNumber = block.contextNumber();
    context = PartContext.NONE;
    contextTold = false;
    feature = Optional.empty();
    featureRequest = 0;
    requestNumber = block.requestNumber();
    answer(a -> Answers.NONE);
  }

  private void report(CellWords.Block block) {
    CellReport report = block.report(context.atFeature(feature));
    if (reported.filter(report::equals).isEmpty()
        && wires.sink().offer(new Event.CellReported(cell, report))) {
      reported = Optional.of(report);
    }
    if (contextTold && reported.filter(report::equals).isPresent()) {
      answer(a -> a.withContext(contextNumber));
    }
    if (featureRequest != 0 && reported.filter(report::equals).isPresent()) {
      int told = featureRequest;
      featureRequest = 0;
      answer(a -> a.withRequest(told, RegisterMap.answer(AnswerCode.ACCEPTED)));
    }
  }

  /** The feature belongs to the part that the cell tells, and goes the same way. */
  private boolean featureAtGauge(CellWords.Block block) {
    boolean none = block.argument() == 0;
    Optional<String> named = wires.features().apply(block.argument()).map(NumberedFeature::id);
    if (block.request() != CellRequest.FEATURE_AT_GAUGE || (named.isEmpty() && !none)) {
      return false;
    }
    feature = named;
    featureRequest = block.requestNumber();
    requestNumber = featureRequest;
    report(block);
    return true;
  }

  private void request(CellWords.Block block) {
    int number = block.requestNumber();
    if (number == requestNumber) {
      return;
    }
    boolean next = number == after(requestNumber);
    if (next && featureAtGauge(block)) {
      return;
    }
    Optional<Order> order =
        next ? CellRequest.order(cell, block, wires.features()) : Optional.empty();
    if (order.isEmpty()) {
      requestNumber = number;
      answer(a -> a.withRequest(number, RegisterMap.answer(AnswerCode.MALFORMED)));
      wires.meter().refused("request");
      LOG.info(
          "{}: request {} refused: {} with argument {}",
          cell,
          number,
          block.request(),
          block.argument());
      return;
    }
    String id = String.format(Locale.ROOT, "modbus-%s-%s-%d", cell, nonce, ++requests);
    open = Optional.of(new OpenRequest(id, number));
    if (wires.sink().offer(new Event.CommandGiven(command(id, order.get())))) {
      requestNumber = number;
    }
  }

  private Command command(String id, Order order) {
    return new Command(
        id,
        Role.CELL,
        "modbus:" + cell,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        order);
  }

  private synchronized void answer(UnaryOperator<Answers> change) {
    answers = change.apply(answers);
  }

  private static int after(int number) {
    return number == 0xFFFF ? 1 : number + 1;
  }

  void answered(String commandId, AnswerCode code) {
    open.filter(request -> request.id().equals(commandId))
        .ifPresent(
            request -> answer(a -> a.withRequest(request.number(), RegisterMap.answer(code))));
  }

  /** Lets time pass: tells a lost link, offers again what was kept. */
  void tick() {
    echo.change(wires.clock().nanos()).ifPresent(this::changed);
    if (owedLink.isPresent() && wires.sink().offer(owedLink.get())) {
      owedLink = Optional.empty();
    }
    walk.owed().filter(wires.sink()::offer).ifPresent(walk::told);
  }

  private void changed(boolean up) {
    String detail = up ? "the cell's echo moves" : "the cell's echo does not move";
    LOG.info("{}: link {}: {}", cell, up ? "up" : "lost", detail);
    wires.meter().link(up);
    owedLink = Optional.of(new Event.LinkChanged(cell, up, detail));
  }
}
