package org.borewarden.agent.payload;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.annotation.JsonSubTypes;
import com.fasterxml.jackson.annotation.JsonTypeInfo;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.PropertyNamingStrategies;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.deser.std.StdDeserializer;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdSerializer;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.io.IOException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.measure.Length;

/**
 * The one JSON mapper: members in snake case, absent values left out, lengths as whole picometres,
 * times as RFC 3339 in UTC with three digits.
 */
public final class Json {
  // Instant.toString drops zero fractions, which breaks sorting by text.
  private static final DateTimeFormatter RFC_3339 =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private static final ObjectMapper MAPPER = mapper();

  private Json() {}

  /**
   * Writes a value as JSON.
   *
   * @param value a record of this package or of the engine
   * @return a JSON text
   * @throws IllegalStateException when the value cannot be written, which is our own mistake
   */
  public static String write(Object value) {
    try {
      return MAPPER.writeValueAsString(value);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("cannot write " + value.getClass().getName(), e);
    }
  }

  /**
   * Reads a value from JSON.
   *
   * @param <T> the type wanted
   * @param text a JSON text
   * @param type the type wanted
   * @return the value
   * @throws JsonProcessingException when the text is not such a value
   */
  public static <T> T read(String text, Class<T> type) throws JsonProcessingException {
    return MAPPER.readValue(text, type);
  }

  /**
   * A wall time as it stands in payloads.
   *
   * @param at the time
   * @return RFC 3339, UTC, three digits
   */
  public static String time(Instant at) {
    return RFC_3339.format(at);
  }

  private static ObjectMapper mapper() {
    SimpleModule own = new SimpleModule("borewarden");
    own.addSerializer(new LengthWriter());
    own.addDeserializer(Length.class, new LengthReader());
    own.addSerializer(new InstantWriter());
    return JsonMapper.builder()
        .addModule(new Jdk8Module())
        .addModule(new JavaTimeModule())
        .addModule(own)
        .addMixIn(Order.class, OrderNames.class)
        .propertyNamingStrategy(PropertyNamingStrategies.SNAKE_CASE)
        .defaultPropertyInclusion(
            JsonInclude.Value.construct(JsonInclude.Include.NON_ABSENT, JsonInclude.Include.ALWAYS))
        .disable(SerializationFeature.WRITE_DATES_AS_TIMESTAMPS)
        .disable(SerializationFeature.WRITE_DURATIONS_AS_TIMESTAMPS)
        .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
        .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
        // Digits are digits: 0E-7 is what a person would not expect of a size.
        .enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN)
        .build();
  }

  /** Names the orders in the journal; a class name never stands in a payload. */
  @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "order")
  @JsonSubTypes({
    @JsonSubTypes.Type(value = Order.Release.class, name = "release"),
    @JsonSubTypes.Type(value = Order.Bypass.class, name = "bypass"),
    @JsonSubTypes.Type(value = Order.EndBypass.class, name = "end-bypass"),
    @JsonSubTypes.Type(value = Order.Heard.class, name = "heard"),
    @JsonSubTypes.Type(value = Order.Stopped.class, name = "stopped"),
    @JsonSubTypes.Type(value = Order.Context.class, name = "context"),
    @JsonSubTypes.Type(value = Order.ToolChanged.class, name = "tool-changed"),
    @JsonSubTypes.Type(value = Order.OffsetEntered.class, name = "offset"),
    @JsonSubTypes.Type(value = Order.Temperature.class, name = "temperature"),
    @JsonSubTypes.Type(value = Order.Discard.class, name = "discard"),
    @JsonSubTypes.Type(value = Order.MeasureAgain.class, name = "measure-again"),
    @JsonSubTypes.Type(value = Order.NextPart.class, name = "next-part"),
    @JsonSubTypes.Type(value = Order.Attribute.class, name = "attribute"),
    @JsonSubTypes.Type(value = Order.Skip.class, name = "skip"),
    @JsonSubTypes.Type(value = Order.Rework.class, name = "rework"),
    @JsonSubTypes.Type(value = Order.Challenge.class, name = "challenge"),
    @JsonSubTypes.Type(value = Order.FirstOff.class, name = "first-off"),
    @JsonSubTypes.Type(value = Order.CorrectSerial.class, name = "correct-serial"),
    @JsonSubTypes.Type(value = Order.Concession.class, name = "concession"),
    @JsonSubTypes.Type(value = Order.WithdrawConcession.class, name = "withdraw-concession"),
    @JsonSubTypes.Type(value = Order.CloseBatch.class, name = "close-batch"),
    @JsonSubTypes.Type(value = Order.HandOver.class, name = "hand-over"),
    @JsonSubTypes.Type(value = Order.RingCheck.class, name = "ring-check"),
    @JsonSubTypes.Type(value = Order.Mastered.class, name = "mastered"),
    @JsonSubTypes.Type(value = Order.GaugeDisturbed.class, name = "gauge-disturbed"),
    @JsonSubTypes.Type(value = Order.Ask.class, name = "ask"),
    @JsonSubTypes.Type(value = Order.StepForward.class, name = "step-forward"),
    @JsonSubTypes.Type(value = Order.StepBack.class, name = "step-back"),
    @JsonSubTypes.Type(value = Order.Acknowledge.class, name = "acknowledge"),
    @JsonSubTypes.Type(value = Order.Shelve.class, name = "shelve"),
    @JsonSubTypes.Type(value = Order.Unshelve.class, name = "unshelve"),
    @JsonSubTypes.Type(value = Order.OutOfService.class, name = "out-of-service"),
    @JsonSubTypes.Type(value = Order.BackInService.class, name = "back-in-service"),
    @JsonSubTypes.Type(value = Order.Confirm.class, name = "confirm"),
    @JsonSubTypes.Type(value = Order.CellTest.class, name = "cell-test"),
    @JsonSubTypes.Type(value = Order.SendAgain.class, name = "send-again"),
    @JsonSubTypes.Type(value = Order.AdoptJournal.class, name = "adopt-journal"),
    @JsonSubTypes.Type(value = Order.Reload.class, name = "reload"),
    @JsonSubTypes.Type(value = Order.AskHold.class, name = "ask-hold")
  })
  private interface OrderNames {}

  private static final class LengthWriter extends StdSerializer<Length> {
    private static final long serialVersionUID = 1L;

    LengthWriter() {
      super(Length.class);
    }

    @Override
    public void serialize(Length value, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      out.writeNumber(value.picometres());
    }
  }

  private static final class LengthReader extends StdDeserializer<Length> {
    private static final long serialVersionUID = 1L;

    LengthReader() {
      super(Length.class);
    }

    @Override
    public Length deserialize(JsonParser in, DeserializationContext context) throws IOException {
      return new Length(in.getLongValue());
    }
  }

  private static final class InstantWriter extends StdSerializer<Instant> {
    private static final long serialVersionUID = 1L;

    InstantWriter() {
      super(Instant.class);
    }

    @Override
    public void serialize(Instant value, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      out.writeString(time(value));
    }
  }
}
