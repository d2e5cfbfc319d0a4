package org.borewarden.agent.payload;

import com.fasterxml.jackson.annotation.JsonAutoDetect;
import com.fasterxml.jackson.annotation.JsonTypeInfo;
import com.fasterxml.jackson.annotation.PropertyAccessor;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JavaType;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.cfg.MapperConfig;
import com.fasterxml.jackson.databind.deser.std.StdDeserializer;
import com.fasterxml.jackson.databind.introspect.Annotated;
import com.fasterxml.jackson.databind.introspect.AnnotatedClass;
import com.fasterxml.jackson.databind.introspect.JacksonAnnotationIntrospector;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.jsontype.NamedType;
import com.fasterxml.jackson.databind.jsontype.TypeResolverBuilder;
import com.fasterxml.jackson.databind.jsontype.impl.StdTypeResolverBuilder;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdSerializer;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;

/**
 * Snapshots of what the engine remembers, exact: records by their components and canonical
 * constructors, numbers to their last bit, times to the nanosecond, the kinds of a sealed interface
 * by their simple names. A component that is added to a record is carried without a word here, and
 * a snapshot from before it is not read: nothing is filled in, nothing is passed over.
 *
 * <p>Not for payloads: names follow the code, so a snapshot is read only by an agent whose {@link
 * SnapshotLayout} is the same.
 */
public final class SnapshotCodec {
  private static final ObjectMapper MAPPER = mapper();

  private SnapshotCodec() {}

  /**
   * Writes a record.
   *
   * @param value a record of records, sealed interfaces, enums, collections and plain values
   * @return its text
   * @throws IllegalStateException when it cannot be written, which is our own mistake
   */
  public static String write(Record value) {
    try {
      return MAPPER.writeValueAsString(value);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("cannot write " + value.getClass().getName(), e);
    }
  }

  /**
   * Reads a record back.
   *
   * @param <T> its type
   * @param text what {@link #write} gave
   * @param type its type
   * @return a record equal to the one that was written
   * @throws JsonProcessingException when the text is not exactly such a record
   */
  public static <T extends Record> T read(String text, Class<T> type)
      throws JsonProcessingException {
    return MAPPER.readValue(text, type);
  }

  private static ObjectMapper mapper() {
    SimpleModule own = new SimpleModule("borewarden-snapshot");
    own.addSerializer(new AcceptanceWriter());
    own.addDeserializer(Acceptance.class, new AcceptanceReader());
    return JsonMapper.builder()
        .addModule(new Jdk8Module())
        .addModule(new JavaTimeModule())
        .addModule(own)
        .annotationIntrospector(new SealedKinds())
        .visibility(PropertyAccessor.GETTER, JsonAutoDetect.Visibility.NONE)
        .visibility(PropertyAccessor.IS_GETTER, JsonAutoDetect.Visibility.NONE)
        .visibility(PropertyAccessor.SETTER, JsonAutoDetect.Visibility.NONE)
        .visibility(PropertyAccessor.FIELD, JsonAutoDetect.Visibility.ANY)
        .disable(SerializationFeature.WRITE_DATES_AS_TIMESTAMPS)
        .disable(SerializationFeature.WRITE_DURATIONS_AS_TIMESTAMPS)
        .enable(DeserializationFeature.FAIL_ON_MISSING_CREATOR_PROPERTIES)
        .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
        .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
        .build();
  }

  /** How a text says of which kind a value is. */
  @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "@")
  private interface Kinds {}

  /** Says of which kind a value of a sealed interface is; a class name never stands in a text. */
  private static final class SealedKinds extends JacksonAnnotationIntrospector {
    private static final long serialVersionUID = 1L;

    @Override
    public TypeResolverBuilder<?> findTypeResolver(
        MapperConfig<?> config, AnnotatedClass type, JavaType baseType) {
      if (!SnapshotLayout.isSealedInterface(type.getRawType())) {
        return super.findTypeResolver(config, type, baseType);
      }
      JsonTypeInfo byName = Objects.requireNonNull(Kinds.class.getAnnotation(JsonTypeInfo.class));
      return new StdTypeResolverBuilder(JsonTypeInfo.Value.from(byName));
    }

    @Override
    public List<NamedType> findSubtypes(Annotated type) {
      if (!SnapshotLayout.isSealedInterface(type.getRawType())) {
        return super.findSubtypes(type);
      }
      List<NamedType> kinds = new ArrayList<>();
      addKinds(type.getRawType(), kinds);
      return kinds;
    }

    private static void addKinds(Class<?> sealed, List<NamedType> kinds) {
      for (Class<?> kind : Arrays.asList(sealed.getPermittedSubclasses())) {
        if (SnapshotLayout.isSealedInterface(kind)) {
          addKinds(kind, kinds);
        } else {
          kinds.add(new NamedType(kind, kind.getSimpleName()));
        }
      }
    }
  }

  // What follows from limits and rule is worked out again, as when the rules were loaded.
  private record AcceptanceOf(Limits limits, DecisionRule rule) {}

  private static final class AcceptanceWriter extends StdSerializer<Acceptance> {
    private static final long serialVersionUID = 1L;

    AcceptanceWriter() {
      super(Acceptance.class);
    }

    @Override
    public void serialize(Acceptance value, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      provider.defaultSerializeValue(new AcceptanceOf(value.limits(), value.rule()), out);
    }
  }

  private static final class AcceptanceReader extends StdDeserializer<Acceptance> {
    private static final long serialVersionUID = 1L;

    AcceptanceReader() {
      super(Acceptance.class);
    }

    @Override
    public Acceptance deserialize(JsonParser in, DeserializationContext context)
        throws IOException {
      AcceptanceOf of = context.readValue(in, AcceptanceOf.class);
      return Acceptance.of(of.limits(), of.rule());
    }
  }
}
