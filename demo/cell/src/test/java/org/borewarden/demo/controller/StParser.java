package org.borewarden.demo.controller;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.demo.controller.StProgram.Assign;
import org.borewarden.demo.controller.StProgram.Binary;
import org.borewarden.demo.controller.StProgram.Branch;
import org.borewarden.demo.controller.StProgram.Expression;
import org.borewarden.demo.controller.StProgram.If;
import org.borewarden.demo.controller.StProgram.Literal;
import org.borewarden.demo.controller.StProgram.Name;
import org.borewarden.demo.controller.StProgram.Not;
import org.borewarden.demo.controller.StProgram.Section;
import org.borewarden.demo.controller.StProgram.Statement;
import org.borewarden.demo.controller.StProgram.ToDint;
import org.borewarden.demo.controller.StProgram.Variable;

/** Reads a function block; what is not in the subset is an error with its line. */
final class StParser {
  private static final Pattern TOKEN =
      Pattern.compile(
          "\\(\\*.*?\\*\\)|\\s+|16#[0-9A-Fa-f]+|[0-9]+|[A-Za-z_][A-Za-z_0-9]*|:=|<>|<=|>=|[-+=<>();:]",
          Pattern.DOTALL);
  private static final Set<String> ENDS = Set.of("ELSIF", "ELSE", "END_IF", "END_FUNCTION_BLOCK");

  private record Token(String text, int line) {}

  private final List<Token> tokens;
  private final Map<String, Variable> variables = new LinkedHashMap<>();
  private int at;

  private StParser(List<Token> tokens) {
    this.tokens = tokens;
  }

  static StProgram parse(String source) {
    StParser parser = new StParser(tokens(source));
    parser.expect("FUNCTION_BLOCK");
    parser.next();
    while (parser.peek().startsWith("VAR")) {
      parser.section();
    }
    List<Statement> statements = parser.statements();
    parser.expect("END_FUNCTION_BLOCK");
    return new StProgram(parser.variables, statements);
  }

  private static List<Token> tokens(String source) {
    List<Token> tokens = new ArrayList<>();
    Matcher matcher = TOKEN.matcher(source);
    int position = 0;
    int line = 1;
    while (position < source.length()) {
      if (!matcher.find(position) || matcher.start() != position) {
        throw new IllegalArgumentException("line " + line + ": unknown character");
      }
      String text = matcher.group();
      if (!text.isBlank() && !text.startsWith("(*")) {
        tokens.add(new Token(text, line));
      }
      line += (int) text.chars().filter(c -> c == '\n').count();
      position = matcher.end();
    }
    return tokens;
  }

  private void section() {
    Section section =
        switch (next()) {
          case "VAR_INPUT" -> Section.INPUT;
          case "VAR_OUTPUT" -> Section.OUTPUT;
          case "VAR" -> accept("CONSTANT") ? Section.CONSTANT : Section.LOCAL;
          default -> throw error("unknown section");
        };
    while (!accept("END_VAR")) {
      String name = next();
      expect(":");
      StProgram.Type type = StProgram.Type.valueOf(next());
      int initial = 0;
      if (accept(":=")) {
        initial = literal(type);
      } else if (section != Section.INPUT) {
        throw error(name + " has no initial value");
      }
      expect(";");
      if (variables.put(name, new Variable(name, section, type, initial)) != null) {
        throw error(name + " is declared twice");
      }
    }
  }

  private int literal(StProgram.Type type) {
    Expression expression = primary();
    if (!(expression instanceof Literal literal) || literal.type() != type) {
      throw error("expected a literal of type " + type);
    }
    return literal.value();
  }

  private List<Statement> statements() {
    List<Statement> statements = new ArrayList<>();
    while (!ENDS.contains(peek())) {
      statements.add(accept("IF") ? branches() : assignment());
    }
    return statements;
  }

  private Statement branches() {
    List<Branch> branches = new ArrayList<>();
    do {
      Expression condition = typed(StProgram.Type.BOOL);
      expect("THEN");
      branches.add(new Branch(Optional.of(condition), statements()));
    } while (accept("ELSIF"));
    if (accept("ELSE")) {
      branches.add(new Branch(Optional.empty(), statements()));
    }
    expect("END_IF");
    expect(";");
    return new If(branches);
  }

  private Statement assignment() {
    Variable target = variable(next());
    if (target.section() == Section.INPUT || target.section() == Section.CONSTANT) {
      throw error(target.name() + " may not be assigned");
    }
    expect(":=");
    Expression value = typed(target.type());
    expect(";");
    return new Assign(target, value);
  }

  private Expression typed(StProgram.Type type) {
    Expression expression = or();
    if (expression.type() != type) {
      throw error("expected " + type + ", found " + expression.type());
    }
    return expression;
  }

  // From weak to strong as in IEC 61131-3: OR, XOR, AND, = <>, < <= > >=, + -, NOT.
  private Expression or() {
    Expression left = xor();
    while (accept("OR")) {
      left = bitwise("OR", left, xor());
    }
    return left;
  }

  private Expression xor() {
    Expression left = and();
    while (accept("XOR")) {
      left = bitwise("XOR", left, and());
    }
    return left;
  }

  private Expression and() {
    Expression left = equality();
    while (accept("AND")) {
      left = bitwise("AND", left, equality());
    }
    return left;
  }

  private Expression equality() {
    Expression left = order();
    while (peek().equals("=") || peek().equals("<>")) {
      String operator = next();
      left = new Binary(operator, StProgram.Type.BOOL, left, same(left, order()));
    }
    return left;
  }

  private Expression order() {
    Expression left = sum();
    while (Set.of("<", "<=", ">", ">=").contains(peek())) {
      String operator = next();
      Expression right = same(left, sum());
      if (left.type() != StProgram.Type.DINT) {
        throw error("only DINT has an order");
      }
      left = new Binary(operator, StProgram.Type.BOOL, left, right);
    }
    return left;
  }

  private Expression sum() {
    Expression left = unary();
    while (peek().equals("+") || peek().equals("-")) {
      String operator = next();
      Expression right = same(left, unary());
      if (left.type() != StProgram.Type.DINT) {
        throw error("only DINT can be added");
      }
      left = new Binary(operator, StProgram.Type.DINT, left, right);
    }
    return left;
  }

  private Expression unary() {
    if (accept("NOT")) {
      Expression operand = unary();
      if (operand.type() != StProgram.Type.BOOL) {
        throw error("NOT of " + operand.type());
      }
      return new Not(operand);
    }
    return primary();
  }

  private Expression primary() {
    String token = next();
    if (token.equals("(")) {
      Expression inner = or();
      expect(")");
      return inner;
    } else if (token.equals("WORD_TO_DINT")) {
      expect("(");
      Expression inner = typed(StProgram.Type.WORD);
      expect(")");
      return new ToDint(inner);
    } else if (token.equals("TRUE") || token.equals("FALSE")) {
      return new Literal(StProgram.Type.BOOL, token.equals("TRUE") ? 1 : 0);
    } else if (token.startsWith("16#")) {
      return new Literal(StProgram.Type.WORD, Integer.parseInt(token.substring(3), 16));
    } else if (Character.isDigit(token.charAt(0))) {
      return new Literal(StProgram.Type.DINT, Integer.parseInt(token));
    }
    return new Name(variable(token));
  }

  private Expression bitwise(String operator, Expression left, Expression right) {
    if (left.type() == StProgram.Type.DINT) {
      throw error(operator + " of DINT");
    }
    return new Binary(operator, left.type(), left, same(left, right));
  }

  private Expression same(Expression left, Expression right) {
    if (left.type() != right.type()) {
      throw error(left.type() + " with " + right.type());
    }
    return right;
  }

  private Variable variable(String name) {
    Variable variable = variables.get(name);
    if (variable == null) {
      throw error("unknown name " + name);
    }
    return variable;
  }

  private String peek() {
    return tokens.get(at).text();
  }

  private String next() {
    return tokens.get(at++).text();
  }

  private boolean accept(String text) {
    if (peek().equals(text)) {
      at++;
      return true;
    }
    return false;
  }

  private void expect(String text) {
    if (!accept(text)) {
      throw error("expected " + text + ", found " + peek());
    }
  }

  private IllegalArgumentException error(String message) {
    int line = tokens.get(Math.min(at, tokens.size() - 1)).line();
    return new IllegalArgumentException("line " + line + ": " + message);
  }
}
