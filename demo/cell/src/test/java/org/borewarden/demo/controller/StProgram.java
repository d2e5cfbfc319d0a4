package org.borewarden.demo.controller;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * A function block in the subset of IEC 61131-3 structured text that the shipped program uses:
 * BOOL, WORD and DINT, assignments, IF, ELSIF and ELSE, WORD_TO_DINT. It is typed as strictly as a
 * controller's compiler: WORD and DINT do not mix, a condition is BOOL, an input is not assigned.
 */
record StProgram(Map<String, Variable> variables, List<Statement> statements) {

  enum Type {
    BOOL,
    WORD,
    DINT
  }

  enum Section {
    CONSTANT,
    INPUT,
    OUTPUT,
    LOCAL
  }

  record Variable(String name, Section section, Type type, int initial) {}

  sealed interface Expression {
    Type type();
  }

  record Literal(Type type, int value) implements Expression {}

  record Name(Variable variable) implements Expression {
    @Override
    public Type type() {
      return variable.type();
    }
  }

  record Not(Expression operand) implements Expression {
    @Override
    public Type type() {
      return Type.BOOL;
    }
  }

  record ToDint(Expression operand) implements Expression {
    @Override
    public Type type() {
      return Type.DINT;
    }
  }

  record Binary(String operator, Type type, Expression left, Expression right)
      implements Expression {}

  sealed interface Statement {}

  record Assign(Variable target, Expression value) implements Statement {}

  record Branch(Optional<Expression> condition, List<Statement> body) {}

  record If(List<Branch> branches) implements Statement {}

  /** Starts the block: every variable at its initial value. */
  Run start() {
    return new Run(this);
  }

  /** One running instance. */
  static final class Run {
    private final StProgram program;
    private final Map<String, Integer> values = new LinkedHashMap<>();

    Run(StProgram program) {
      this.program = program;
      program.variables().values().forEach(v -> values.put(v.name(), v.initial()));
    }

    void set(String name, int value) {
      Variable variable = program.variables().get(name);
      if (variable == null || variable.section() != Section.INPUT) {
        throw new IllegalArgumentException("no input " + name);
      }
      values.put(name, value);
    }

    int get(String name) {
      Integer value = values.get(name);
      if (value == null) {
        throw new IllegalArgumentException("no variable " + name);
      }
      return value;
    }

    void scan() {
      run(program.statements());
    }

    private void run(List<Statement> statements) {
      for (Statement statement : statements) {
        if (statement instanceof Assign assign) {
          values.put(assign.target().name(), evaluate(assign.value()));
        } else if (statement instanceof If branches) {
          branch(branches).ifPresent(taken -> run(taken.body()));
        }
      }
    }

    private Optional<Branch> branch(If statement) {
      return statement.branches().stream()
          .filter(b -> b.condition().isEmpty() || evaluate(b.condition().get()) != 0)
          .findFirst();
    }

    private int evaluate(Expression expression) {
      if (expression instanceof Literal literal) {
        return literal.value();
      } else if (expression instanceof Name name) {
        return get(name.variable().name());
      } else if (expression instanceof Not not) {
        return 1 - evaluate(not.operand());
      } else if (expression instanceof ToDint conversion) {
        return evaluate(conversion.operand());
      }
      Binary binary = (Binary) expression;
      int left = evaluate(binary.left());
      int right = evaluate(binary.right());
      return switch (binary.operator()) {
        case "AND" -> left & right;
        case "OR" -> left | right;
        case "XOR" -> left ^ right;
        case "+" -> Math.addExact(left, right);
        case "-" -> Math.subtractExact(left, right);
        case "=" -> left == right ? 1 : 0;
        case "<>" -> left != right ? 1 : 0;
        case "<" -> left < right ? 1 : 0;
        case "<=" -> left <= right ? 1 : 0;
        case ">" -> left > right ? 1 : 0;
        case ">=" -> left >= right ? 1 : 0;
        default -> throw new IllegalStateException(binary.operator());
      };
    }
  }

  /** The statements as tokens of Java, for a comparison with the port's source text. */
  List<String> java() {
    List<String> out = new ArrayList<>();
    statements.forEach(s -> new StJavaText(out).statement(s));
    return out;
  }
}
